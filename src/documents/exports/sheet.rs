//! A table as any spreadsheet can hold it: headed columns of typed cells.

use std::iter::Peekable;

use hillfolio_core::project::{Cell, Table};

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

    /// The sheet of a table as it was understood.
    pub(super) fn of_table(table: Table<'a>) -> Sheet<'a> {
        let columns = table.heads.iter().filter(|head| head.kept).map(|head| head.name).collect();
        Sheet { name: table.name, columns, rows: table.rows.peekable() }
    }

    /// The sheet, if it has a row.
    pub(super) fn filled(mut self) -> Option<Sheet<'a>> {
        self.rows.peek().is_some().then_some(self)
    }
}
