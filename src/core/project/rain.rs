//! Rain, day by day.

use chrono::NaiveDate;

use crate::{source::Row, units::Millimetres};

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
