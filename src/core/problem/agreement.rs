//! Agreement: what two tables say of the same thing, where they say two things.

use crate::problem::kinds;

kinds! {
    /// Two accounts of one quantity that differ by more than they may.
    Agreement {
        /// Stems in the works log and in the planting log.
        #[error("the works log has {works} stems planted in the period{whereabouts}, the planting log {log}: {apart} apart{alone}")]
        Doubt "stems-planted-differ" StemsPlantedDiffer { works: String, log: String, whereabouts: String, apart: String, alone: String }
            => "log the plantings that are missing, or correct the quantities of the works";
        /// Days of planting in the two logs.
        #[error("the planting log has plantings of the period on {log} days, the works log planting on {works}")]
        Doubt "planting-days-differ" PlantingDaysDiffer { log: usize, works: usize }
            => "log the work of the days that are missing, or correct the days of the plantings";
        /// Metres of fence that were worked and that are drawn as new.
        #[error("the works log has {works} m of fence put up, the map {map} m of new fence: {apart} apart{alone}")]
        Doubt "fence-differs" FenceDiffers { works: String, map: String, apart: String, alone: String }
            => "draw what was put up as a fence with the status new, or correct the metres of the works";
        /// Work on more ground than there is.
        #[error("{task} on {quantity} ha of {area}, which has {hectares} ha")]
        Doubt "work-beyond-area" WorkBeyondArea { task: String, quantity: String, area: String, hectares: String }
            => "check the quantity and its unit; give the hectares that were gone over, once";
        /// Hectares of the approval and of the map.
        #[error("the approval is for {approved} ha, and {mapped} ha are drawn: {apart} apart")]
        Doubt "approved-hectares-differ" ApprovedHectaresDiffer { approved: String, mapped: String, apart: String }
            => "check `hectares` under [approval] and the boundaries";
        /// A part of a cover that is more than the whole.
        #[error("cover of the {layer} layer: `{part}`, {part_share}, is more than `{whole}`, {whole_share}, which should hold it")]
        Doubt "cover-part-beyond-whole" CoverPartBeyondWhole {
            layer: &'static str, part: String, part_share: String, whole: String, whole_share: String
        } => "give the parts or the whole, not both; or name the classes so that none holds another";
        /// More than half as much again as the stand it is held against.
        #[error("{attribute} comes to {share} of its benchmark of {benchmark}")]
        Doubt "beyond-benchmark" BeyondBenchmark { attribute: String, share: String, benchmark: String }
            => "check the benchmark's decimal point and unit, and what was observed";
        /// Slopes by terrain model and by clinometer.
        #[error("{area} slopes {modelled} by the terrain model and {read} by clinometer{}", .explained)]
        Doubt "slopes-differ" SlopesDiffer { area: String, modelled: String, read: String, explained: String }
            => "check the unit of the heights, and the readings";
        /// Erosivity given, and what published relations make of the folder's rain.
        #[error("an erosivity of {given} is given; of the {rain} mm of rain in the folder {relations} make {made}")]
        Doubt "erosivity-unlike-rain" ErosivityUnlikeRain { given: String, rain: String, relations: &'static str, made: String }
            => "check the erosivity and its unit, MJ mm/(ha h yr), and that the rain is of this place";
        /// More stems measured than were tallied.
        #[error("{measured} trees of {species} were measured alive in plot {plot} on {day}, and {tallied} tallied alive there")]
        Doubt "measured-beyond-tallied" MeasuredBeyondTallied {
            measured: usize, species: String, plot: String, day: String, tallied: u64
        } => "correct the tally, or the plot and species of the measured stems";
    }
}
