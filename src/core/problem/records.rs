//! Plantings, surveys and works that contradict themselves or one another.

use crate::problem::{Said, doubt, error};

/// What is wrong with a record.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the fields are the words of the sentence below")]
pub enum Records {
    /// An id that names nothing.
    IdUnknown { what: &'static str, found: String, nearest: Option<String> },
    /// An id used twice.
    IdTwice { what: &'static str, id: String, first: u32 },
    /// The same row twice.
    RowTwice { first: u32 },
    /// A species that is not in the list.
    SpeciesUnknown { found: String, nearest: Option<String> },
    /// A count beyond belief.
    CountTooBig { found: u64, limit: u64 },
    /// More alive than set in the plot, or than planted in the area.
    MoreAliveThanPlanted { alive: u64, planted: u64, whereabouts: String },
    /// A visit before anything was planted there.
    SurveyBeforePlanting { date: String, planted: String, whereabouts: String },
    /// A tally of a species that was never planted there.
    TalliedNotPlanted { species: String, area: String },
    /// alive + dead + missing is not what was set in the plot.
    TallyDoesNotAddUp { sum: u64, planted: u64, plot: String },
    /// The latest day at a plot holds only part of what was counted there shortly before.
    VisitInParts { plot: String, date: String, stems: u64, before: String, earlier: u64 },
    /// Work, spending or a planting outside the reporting period.
    OutsidePeriod { what: &'static str, date: String },
    /// A planting dated after the period's end.
    PlantedAfterPeriod { date: String },
    /// A batch that replaces a batch which is not there.
    ReplacesNothing { batch: String, nearest: Option<String> },
    /// More stems on a hectare than can stand there.
    TooDense { per_hectare: f64, area: String },
    /// A height or diameter beyond belief.
    SizeBeyondBelief { what: &'static str, found: String, limit: String },
    /// A species sensitive to frost in an area marked frosty.
    FrostSensitive { species: String, area: String },
    /// A plot without any size.
    PlotWithoutSize { plot: String },
    /// Two sizes of one plot that differ.
    PlotSizesDiffer { used: f64, other: f64 },
    /// Sensible only with both.
    HalfPosition { has: &'static str, lacks: &'static str },
    /// A plot taped on the slope with no slope known.
    SlopeUnknown { plot: String, area: String },
    /// A day of rain that stands twice.
    RainDayTwice { date: String, first: u32 },
    /// Rain of several days read as one.
    RainOfDays { days: u32 },
    /// Cover in classes, and no scale to read them by.
    CoverScaleNotSet { found: String },
    /// Two lengths of one line.
    LinesDiffer { one: f64, other: f64 },
    /// More of a line covered than there is of it.
    BeyondLine { sum: f64, line: f64 },
    /// An area that was planted and never surveyed.
    AreaNotSurveyed { area: String },
}

impl Records {
    pub(super) fn said(&self) -> Said {
        match self {
            Records::IdUnknown { what, found, nearest } => {
                error("id-unknown", format!("no {what} is called `{found}`"))
                    .nearest(nearest.as_ref(), "correct the name, or add it to its own file")
            }
            Records::IdTwice { what, id, first } => {
                error("id-twice", format!("{what} `{id}` stands already in row {first}"))
                    .help("give each its own id")
            }
            Records::RowTwice { first } => {
                doubt("row-twice", format!("the row is the same as row {first}; both are counted"))
                    .help("take one out if it was entered twice")
            }
            Records::SpeciesUnknown { found, nearest } => {
                error("species-unknown", format!("`{found}` is not in the species list"))
                    .nearest(nearest.as_ref(), "correct the name, or add the species to species.csv")
            }
            Records::CountTooBig { found, limit } => {
                error("count-too-big", format!("{found} in one row; at most {limit} are believed"))
            }
            Records::MoreAliveThanPlanted { alive, planted, whereabouts } => doubt(
                "more-alive-than-planted",
                format!("{alive} alive of {planted} planted in {whereabouts}"),
            )
            .help("correct the tally, count self-sown stems as recruits, or log the infill in plantings"),
            Records::SurveyBeforePlanting { date, planted, whereabouts } => doubt(
                "survey-before-planting",
                format!("counted on {date}, before the first planting in {whereabouts} on {planted}"),
            ),
            Records::TalliedNotPlanted { species, area } => doubt(
                "tallied-not-planted",
                format!("{species} was counted in {area}, where none was planted"),
            )
            .help("count self-sown stems as recruits, or log the planting"),
            Records::TallyDoesNotAddUp { sum, planted, plot } => doubt(
                "tally-does-not-add-up",
                format!("alive, dead and missing make {sum}; {planted} were set in plot {plot}"),
            ),
            Records::VisitInParts { plot, date, stems, before, earlier } => doubt(
                "visit-in-parts",
                format!("plot {plot} has {stems} stems on {date} and {earlier} on {before}; only the later day counts"),
            )
            .help("give both the same date if they are one visit"),
            Records::OutsidePeriod { what, date } => doubt(
                "outside-period",
                format!("{what} on {date} lies outside the reporting period; left out of it"),
            ),
            Records::PlantedAfterPeriod { date } => doubt(
                "planted-after-period",
                format!("planted on {date}, after the period's end; left out of every figure"),
            ),
            Records::ReplacesNothing { batch, nearest } => {
                error("replaces-nothing", format!("no batch is called `{batch}`"))
                    .nearest(nearest.as_ref(), "name the batch that this infill replaces")
            }
            Records::TooDense { per_hectare, area } => doubt(
                "too-dense",
                format!("{per_hectare:.0} stems a hectare in {area} is more than can be planted"),
            )
            .help("check the counts and the boundary"),
            Records::SizeBeyondBelief { what, found, limit } => {
                doubt("size-beyond-belief", format!("{what} of {found} is beyond {limit}"))
                    .help("check the unit")
            }
            Records::FrostSensitive { species, area } => doubt(
                "frost-sensitive",
                format!("{species} is sensitive to frost and {area} is marked frosty"),
            ),
            Records::PlotWithoutSize { plot } => {
                error("plot-without-size", format!("plot {plot} has no size"))
                    .help("fill size_m2, or radius_m, or length_m and width_m")
            }
            Records::PlotSizesDiffer { used, other } => doubt(
                "plot-sizes-differ",
                format!("the plot's measures make {used:.1} m² and {other:.1} m²; the first is used"),
            )
            .help("give the size in one way only"),
            Records::HalfPosition { has, lacks } => {
                error("half-position", format!("`{has}` is given without `{lacks}`"))
            }
            Records::SlopeUnknown { plot, area } => doubt(
                "slope-unknown",
                format!(
                    "plot {plot} was taped on the slope and no slope is known for {area}; taken as level"
                ),
            )
            .help("add the area to slopes.csv, or a terrain model to the folder"),
            Records::RainDayTwice { date, first } => doubt(
                "rain-day-twice",
                format!("{date} stands already in row {first}, which is the one that counts"),
            )
            .help("take one out; a day without rain is 0, a day without a reading is empty"),
            Records::RainOfDays { days } => doubt(
                "rain-of-days",
                format!("rain of {days} days read as one; left out, for it can't be told on which it fell"),
            ),
            Records::CoverScaleNotSet { found } => error(
                "cover-scale-not-set",
                format!("`{found}` is a class of cover, and project.toml names no scale that it belongs to"),
            )
            .help("under [survey] set cover_scale = \"Braun-Blanquet\", \"Domin\" or \"Daubenmire\", or give your own classes"),
            Records::LinesDiffer { one, other } => {
                error("lines-differ", format!("the line is {one:.2} m long in an earlier row and {other:.2} m here"))
                    .help("where the plot has several lines, name them in the column `line`")
            }
            Records::BeyondLine { sum, line } => error(
                "beyond-line",
                format!("the cover takes {sum:.2} m of this line together with earlier rows; the line is {line:.2} m"),
            )
            .help("give each stretch once, or name the lines in the column `line` where the plot has several"),
            Records::AreaNotSurveyed { area } => doubt(
                "area-not-surveyed",
                format!("{area} was planted and has no surveyed plot; left out of survival"),
            ),
        }
    }
}
