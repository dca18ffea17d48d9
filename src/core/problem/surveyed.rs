//! Readings of surveys and gauges that stand apart from the rest of their table, or of what is usual.

use crate::problem::{
    answer::{Answer, to_paste},
    kinds,
};

kinds! {
    /// Readings that would agree with the others if they were read in another way.
    Surveyed {
        /// The covers of one plot as fractions, those of the others in per cent.
        #[error("the {count} readings of cover in plot {plot} lie from 0 to 1 per cent, {mean} % in the mean; those of the other plots have \
            {others} % in the mean; as fractions they would be {fraction} %")]
        Doubt "fractions-in-one-plot" FractionsInOnePlot {
            plot: String, count: usize, mean: String, others: String, fraction: String
        } => "write 40 for 40 %, not 0.4";
        /// The heights of one plot in another unit than those of the others.
        #[error("the middle one of {count} heights in plot {plot} is {median} m, that of the other plots {others} m; {factor} times as much \
            would be {then} m")]
        Doubt "heights-of-one-plot" HeightsOfOnePlot {
            plot: String, count: usize, median: String, others: String, factor: u32, then: String
        } => "write all heights of a table in the unit that its heading names";
        /// One plot under two names.
        #[error("plot {plot} has {counts} that plot {first} has too{place}; both count, {both} stems alive in the two and {one} in one")]
        Doubt "plot-under-two-names" PlotUnderTwoNames {
            plot: Box<str>, first: Box<str>, counts: Box<str>, place: Box<str>, both: Box<str>, one: Box<str>
        } => "take out one of the two if they are one plot; correct the place or the counts if they are not";
        /// Two counts of the same stems on one day.
        #[error("plot {plot} has two counts of {species} on {day}: {first} and {second} here; they are added up, {together} alive")]
        Doubt "counts-of-one-day" CountsOfOneDay {
            plot: Box<str>, species: Box<str>, day: Box<str>, first: Box<str>, second: u64, together: u64
        } => to_paste(
            "take one out if it was counted anew: answer (leave the row out) in the list that `hillfolio check FOLDER --corrections LIST.xlsx` \
             writes; if both are parts of one count, in project.toml:",
            vec![Answer::of("tables.tallies", "sum = [\"alive\", \"dead\", \"missing\", \"recruits\"]")],
        );
        /// One plot of another size than all others.
        #[error("plot {plot} has {size} m², each of the other {others} {usual} m²")]
        Doubt "plot-of-its-own-size" PlotOfItsOwnSize { plot: Box<str>, size: Box<str>, others: usize, usual: Box<str> }
            => "look up how it was laid out; if it is of another size, nothing to do";
        /// Two covers of a plot that would each be usual under the other's name.
        #[error("plot {plot} has {one} and {other}, where the others have {usual} in the middle: the two may be changed over")]
        Doubt "covers-changed-over" CoversChangedOver { plot: Box<str>, one: Box<str>, other: Box<str>, usual: Box<str> }
            => "look the two up on the sheet; left out here is only to show what hangs on them";
        /// A cover far off those of all other plots.
        #[error("`{cover}` is {here} % in plot {plot}; in the other {others} it is {range}")]
        Doubt "cover-apart" CoverApart { plot: Box<str>, cover: Box<str>, here: Box<str>, others: usize, range: Box<str> }
            => "look it up on the sheet; if the plot is so, nothing to do";
        /// A survey that says what an earlier one says.
        #[error("all {rows} {what} of {year} that {before} has too are those of {before}")]
        Doubt "survey-copied" SurveyCopied { what: &'static str, year: i32, before: i32, rows: usize }
            => "enter the later survey if the earlier one was copied; if nothing changed, nothing to do";
        /// A tagged tree that is another than before.
        #[error("tree {tag} of plot {plot} is {now}, and was {then} on {before}")]
        Doubt "tree-other-than-before" TreeOtherThanBefore {
            tag: Box<str>, plot: Box<str>, now: Box<str>, then: Box<str>, before: Box<str>
        } => "look at the tag again: two trees may have been changed over; correct the row that is wrong";
        /// A plot with half of what all others have, or twice as much.
        #[error("{stems} stems were set in plot {plot} of {size} m²; for the stems planted on a hectare of its area the {others} other plots have \
            alike, it would be {usual}")]
        Doubt "plot-apart" PlotApart { plot: Box<str>, stems: Box<str>, size: Box<str>, others: usize, usual: Box<str> }
            => "look up the size of the plot and whether all of it was counted; if only a part was, write the size of that part; if it stands \
                thinner or denser, nothing to do";
        /// One height in another unit than the others.
        #[error("a height of {height} m, where the middle one of {count} is {median} m; written in {unit} it would be {then} m")]
        Doubt "height-out-of-line" HeightOutOfLine {
            height: Box<str>, count: usize, median: Box<str>, unit: &'static str, then: Box<str>
        } => "look it up, and write it in the unit that the heading names";
        /// A cohort of which nothing was planted.
        #[error("cohort {cohort}: nothing was planted in {area} in {cohort}, but in {years}; {alive} of {set} stems are alive in it, and it \
            counts apart; as a part of {likely} {then_alive} of {then_set} would be")]
        Doubt "cohort-not-planted" CohortNotPlanted {
            cohort: i32, area: Box<str>, years: Box<str>, alive: Box<str>, set: Box<str>, likely: i32, then_alive: Box<str>, then_set: Box<str>
        } => "under `cohort` write the year in which the stems were planted";
        /// Living and lost stems that would each be usual under the other's name.
        #[error("{alive} of {set} {species} are alive in plot {plot}; of the same species in the other plots it is {of_species}, of the \
            other species in this plot {of_plot}: living and lost may be changed over")]
        Doubt "counts-changed-over" CountsChangedOver {
            species: Box<str>, plot: Box<str>, alive: u64, set: u64, of_species: Box<str>, of_plot: Box<str>
        } => "look the row up on the sheet; if so many are lost there, nothing to do";
        /// Running totals in the place of the rain of each day.
        #[error("the rain of {months} never falls from one reading to the next, {rises} times it rises, to {last} mm: running totals \
            read so; as they stand they make {sum} mm, as running totals {then} mm")]
        Doubt "rain-running-total" RainRunningTotal {
            months: String, rises: usize, last: String, sum: String, then: String
        } => "under `mm` write the rain of each day: the reading less the one before";
        /// A day with many times the rain of every other.
        #[error("{mm} mm in a day, where no other has more than {next}; with the point moved it would be {tenth} mm")]
        Doubt "rain-of-one-day" RainOfOneDay { mm: Box<str>, next: Box<str>, tenth: Box<str> }
            => "check the decimal point; if it fell, nothing to do";
        /// Rain in inches under millimetres, or a slipped point.
        #[error("{mm} mm fell in the {days} days read from {from} to {to}, {beside}; in inches it would be {inches} mm, with the point \
            moved {tenfold} mm")]
        Doubt "rain-in-inches" RainInInches {
            mm: Box<str>, days: usize, from: Box<str>, to: Box<str>, beside: Box<str>, inches: Box<str>, tenfold: Box<str>
        } => "name the unit in the heading, such as rain_in; check the decimal point";
        /// A factor of soil loss that is far from what is found.
        #[error("{factor} of {given} is {beside}; {meant} would be {then}, and soil loss {change} what it is now")]
        Doubt "erosion-factor-unusual" ErosionFactorUnusual {
            factor: &'static str, given: Box<str>, beside: Box<str>, meant: Box<str>, then: &'static str, change: Box<str>
        } => "erosivity is in MJ mm/(ha h yr) and erodibility in t ha h/(ha MJ mm); factors in other units must be converted";
    }
}
