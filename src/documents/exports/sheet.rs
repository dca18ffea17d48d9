//! A table as any spreadsheet can hold it: headed columns of typed cells.

use std::iter::Peekable;

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

/// Rows of cells, made one by one as they are written: a million of them at once would fill the memory.
type Rows<'a> = Peekable<Box<dyn Iterator<Item = Vec<Cell>> + 'a>>;

/// A table with a name of at most 28 letters: spreadsheets take 31, and a table longer than a sheet has a number behind it.
pub(super) struct Sheet<'a> {
    pub(super) name: &'static str,
    pub(super) columns: Vec<&'static str>,
    pub(super) rows: Rows<'a>,
}

impl<'a> Sheet<'a> {
    /// A sheet of one row for each of `records`.
    pub(super) fn of<R: 'a>(
        name: &'static str,
        columns: &[&'static str],
        records: impl IntoIterator<Item = R, IntoIter: 'a>,
        cells: impl Fn(R) -> Vec<Cell> + 'a,
    ) -> Sheet<'a> {
        let rows: Box<dyn Iterator<Item = Vec<Cell>> + 'a> = Box::new(records.into_iter().map(cells));
        Sheet { name, columns: columns.to_vec(), rows: rows.peekable() }
    }

    /// The sheet, if it has a row.
    pub(super) fn filled(mut self) -> Option<Sheet<'a>> {
        self.rows.peek().is_some().then_some(self)
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
