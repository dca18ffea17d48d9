//! How a table that lives elsewhere is taken up: `[tables.NAME]` of `project.toml`.

use std::collections::BTreeMap;

use crate::project::{FeatureKind, Standing};

/// Where a table or layer is and what its columns are called there.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Mapping {
    /// The file, where it is not called as the table.
    pub(crate) file: Option<String>,
    /// The sheet of a workbook.
    pub(crate) sheet: Option<String>,
    /// Headings in the file and the columns of ours that they stand for.
    pub(crate) columns: BTreeMap<String, String>,
    /// How dates are written that ISO 8601 does not settle.
    pub(crate) dates: DateOrder,
    /// What a layer or a terrain model does not say of itself.
    pub(crate) told: Told,
}

/// What the settings say of a layer or a terrain model in its stead.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Told {
    /// EPSG code of the coordinate reference system.
    pub(crate) crs: Option<u16>,
    /// Metres in one unit of height.
    pub(crate) heights: Option<f64>,
    /// The height that stands for none.
    pub(crate) missing: Option<f64>,
    /// What every feature is that does not say so itself.
    pub(crate) kind: Option<FeatureKind>,
    /// Whether every feature that does not say so itself was there before.
    pub(crate) status: Option<Standing>,
}

/// Which comes first in a date such as 3/4/2025.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) enum DateOrder {
    /// Not said: a date that could be two days is a doubt.
    #[default]
    Unstated,
    /// The day.
    DayFirst,
    /// The month.
    MonthFirst,
}
