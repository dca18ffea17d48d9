//! A table as any spreadsheet can hold it: headed columns of typed cells.

use chrono::NaiveDate;

/// One cell.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    /// Nothing was recorded.
    Empty,
    /// Text, never a formula.
    Text(String),
    /// A number.
    Number(f64),
    /// A day.
    Day(NaiveDate),
}

/// A table with a name of at most 31 letters, as spreadsheets ask.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sheet {
    pub(super) name: &'static str,
    pub(super) columns: Vec<&'static str>,
    pub(super) rows: Vec<Vec<Cell>>,
}

impl Sheet {
    /// A sheet of one row for each of `records`.
    pub(super) fn of<R>(
        name: &'static str,
        columns: &[&'static str],
        records: impl IntoIterator<Item = R>,
        cells: impl Fn(R) -> Vec<Cell>,
    ) -> Sheet {
        Sheet { name, columns: columns.to_vec(), rows: records.into_iter().map(cells).collect() }
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Cell {
        Cell::Text(text.to_owned())
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Cell {
        Cell::Text(text)
    }
}

impl From<f64> for Cell {
    fn from(number: f64) -> Cell {
        match number.is_finite() {
            true => Cell::Number(number),
            false => Cell::Empty,
        }
    }
}

impl From<u64> for Cell {
    #[allow(clippy::cast_precision_loss, reason = "a spreadsheet holds no larger number exactly")]
    fn from(number: u64) -> Cell {
        Cell::Number(number as f64)
    }
}

impl From<u32> for Cell {
    fn from(number: u32) -> Cell {
        Cell::Number(f64::from(number))
    }
}

impl From<NaiveDate> for Cell {
    fn from(day: NaiveDate) -> Cell {
        Cell::Day(day)
    }
}

impl<T: Into<Cell>> From<Option<T>> for Cell {
    fn from(cell: Option<T>) -> Cell {
        cell.map_or(Cell::Empty, Into::into)
    }
}
