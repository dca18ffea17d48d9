//! Rain, day by day.

use chrono::NaiveDate;

use crate::{
    project::{Column, TableRow},
    source::Row,
    units::Millimetres,
};

/// One row of the rain table.
#[derive(Debug, Clone, PartialEq)]
pub struct RainDay {
    /// The day.
    pub date: NaiveDate,
    /// The rain of the day; `None` where it was not read. A dry day is 0.
    pub mm: Option<Millimetres>,
    /// The row of the table.
    pub source: Row,
}

impl TableRow for RainDay {
    const TABLE: &'static str = "rain";
    const COLUMNS: &'static [Column<RainDay>] = &[
        Column::needed("date", |row| row.date.into()),
        Column::optional("mm", |row| row.mm.map(|mm| mm.0).into()),
        Column::taken_up("days"),
        Column::taken_up("note"),
    ];
}
