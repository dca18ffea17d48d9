//! How a table that lives elsewhere is taken up: `[tables.NAME]` of `project.toml`.

use std::collections::BTreeMap;

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
