//! Why a figure can't be given.

use std::fmt;

/// Why a figure can't be given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Gap {
    /// Nothing was planted there by the end of the period.
    NothingPlanted,
    /// No plot was surveyed there by the end of the period.
    NotSurveyed,
    /// Plots were surveyed, and no stem of this kind had been set in them.
    NoneInPlots,
    /// Plots were surveyed, and it can't be told how many stems had been set in them.
    StemsSetUnknown,
    /// Plots were surveyed, and their tallies do not say in which year the stems were planted.
    CohortNotStated(usize),
    /// Plots were surveyed, and self-sown stems were not recorded.
    RecruitsNotRecorded,
    /// No plot was visited in two surveys.
    NoPair,
    /// No list says whether the species are native.
    OriginNotStated,
    /// Nothing was observed to hold against a benchmark.
    NoObservation,
    /// Plots show no spread from which to plan.
    NoSpread,
    /// No stem lives in the plots.
    NoLivingStem,
    /// Stems live in the plots, and no native tree is among them.
    NoNativeTree,
    /// Fewer plots than it takes.
    TooFewPlots {
        /// Plots there are.
        have: usize,
        /// Plots it needs.
        need: usize,
    },
    /// Plots have no size.
    NoPlotArea,
    /// No diameter was measured in a plot.
    NotMeasured,
    /// No height was measured.
    NoHeights,
    /// No cover was read.
    NoCover,
    /// No line of this kind is drawn.
    NoLine,
    /// No slope was measured.
    NoSlope,
    /// Rows of one task bear different units.
    UnitsDiffer(String),
    /// A setting of `project.toml` that it needs is not there.
    NotSet(&'static str),
    /// The table that it needs is not in the folder.
    TableMissing(&'static str),
    /// The arithmetic gave no number.
    NoNumber,
    /// What was given lies outside what the method was made for.
    OutOfRange(String),
    /// A record of too few whole years.
    TooFewYears {
        /// Years there are.
        have: usize,
        /// Years it needs.
        need: usize,
    },
    /// No rain was read in the time.
    NoRain,
    /// Nothing tells the erosivity of the rain.
    NoErosivity,
    /// Nothing tells the erodibility of the soil.
    NoErodibility,
    /// More than half of the ground is steeper than the equation goes.
    TooSteep,
    /// The terrain doesn't hold the place.
    NoTerrain,
    /// No row could be laid out.
    NoRows,
    /// The folder can't tell, for this reason.
    NotAsked(&'static str),
    /// Whether there is any was never asked: nothing of the kind was planted, and no tally names one.
    NotLookedFor,
    /// Nothing to divide by.
    NothingToDivideBy(&'static str),
}

impl fmt::Display for Gap {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Gap::NothingPlanted => f.write_str("nothing was planted there by the end of the period"),
            Gap::NotSurveyed => f.write_str("no plot was surveyed there by the end of the period"),
            Gap::NoneInPlots => f.write_str("no stem of this kind was set in a surveyed plot"),
            Gap::StemsSetUnknown => {
                f.write_str("neither dead and missing stems nor the stems set in the plots were recorded")
            }
            Gap::CohortNotStated(plots) => write!(
                f,
                "{plots} {} surveyed on its ground, where more than one year planted, and the tallies do not say of which year \
                 their stems are (column “cohort”)",
                if *plots == 1 { "plot was" } else { "plots were" }
            ),
            Gap::RecruitsNotRecorded => f.write_str("self-sown stems were not recorded"),
            Gap::NoPair => f.write_str("no plot was visited in both surveys"),
            Gap::OriginNotStated => {
                f.write_str("no list says of any species found whether it is native; the species table can")
            }
            Gap::NoObservation => {
                f.write_str("nothing was observed that the benchmark could be held against")
            }
            Gap::NoSpread => {
                f.write_str("the plots show no spread from which the next survey could be planned")
            }
            Gap::NoLivingStem => f.write_str("no stem lives in the surveyed plots"),
            Gap::NoNativeTree => {
                f.write_str("no native tree is among the living stems of the surveyed plots")
            }
            Gap::TooFewPlots { have, need } => write!(f, "{have} plots are too few; it needs {need}"),
            Gap::NoPlotArea => f.write_str("the surveyed plots have no size"),
            Gap::NotMeasured => f.write_str("no stem diameter was measured there by the end of the period"),
            Gap::NoCover => f.write_str("no cover was read there by the end of the period"),
            Gap::NoLine => f.write_str("no line of this kind is drawn"),
            Gap::NoNumber => f.write_str("the arithmetic gave no number"),
            Gap::NoSlope => f.write_str("no slope was measured there"),
            Gap::UnitsDiffer(units) => write!(f, "its rows bear different units: {units}"),
            Gap::NotSet(setting) => write!(f, "project.toml does not set {setting}"),
            Gap::NoHeights => f.write_str("no height was measured"),
            Gap::TableMissing(table) => write!(f, "there is no {table} table"),
            Gap::OutOfRange(what) => write!(f, "the method was not made for {what}"),
            Gap::TooFewYears { have, need } => {
                write!(f, "{have} whole years of rain are too few; it needs {need}")
            }
            Gap::NoRain => f.write_str("no rain was read in that time"),
            Gap::NoErosivity => f.write_str(
                "neither an erosivity, daily rain, nor the intensity of the two-year six-hour storm is given",
            ),
            Gap::NoErodibility => {
                f.write_str("neither an erodibility, its five inputs nor a texture is given")
            }
            Gap::TooSteep => {
                f.write_str("more than half of the ground is steeper than 55 %, beyond the equation")
            }
            Gap::NoTerrain => f.write_str("the terrain model does not reach there"),
            Gap::NoRows => f.write_str("no row could be laid out on the contour"),
            Gap::NotAsked(why) => f.write_str(why),
            Gap::NotLookedFor => f.write_str("nothing of the kind was planted, and no tally names one"),
            Gap::NothingToDivideBy(what) => write!(f, "there is no {what} to divide by"),
        }
    }
}
