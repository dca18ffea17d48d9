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
    /// Plots were surveyed, and self-sown stems were not recorded.
    RecruitsNotRecorded,
    /// Plots have no size.
    NoPlotArea,
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
            Gap::RecruitsNotRecorded => f.write_str("self-sown stems were not recorded"),
            Gap::NoPlotArea => f.write_str("the surveyed plots have no size"),
            Gap::NoCover => f.write_str("no cover was read there by the end of the period"),
            Gap::NoLine => f.write_str("no line of this kind is drawn"),
            Gap::NoNumber => f.write_str("the arithmetic gave no number"),
            Gap::NoSlope => f.write_str("no slope was measured there"),
            Gap::UnitsDiffer(units) => write!(f, "its rows bear different units: {units}"),
            Gap::NotSet(setting) => write!(f, "project.toml does not set {setting}"),
            Gap::NoHeights => f.write_str("no height was measured"),
            Gap::TableMissing(table) => write!(f, "there is no {table} table"),
            Gap::NothingToDivideBy(what) => write!(f, "there is no {what} to divide by"),
        }
    }
}
