//! The one table reader: finds the delimiter, the header row and the columns, and knows every row's own number.

mod header;
mod heading;
mod split;
mod surplus;

use std::sync::Arc;

use crate::{
    intake::{
        cell::{Cells, date, number::Mark},
        mapping::{DateOrder, Mapping},
    },
    problem::{Excerpt, Place, Problem, Reading},
};

pub(crate) use heading::{Layout, key};
pub(crate) use split::Record;

use heading::Meant;

/// A table whose header is understood and whose rows are still text.
#[derive(Debug)]
pub(crate) struct Table {
    /// Path inside the project folder.
    pub(crate) path: Arc<str>,
    pub(crate) layout: &'static Layout,
    /// The headings as typed.
    pub(crate) headings: Vec<String>,
    /// What each heading stands for, in the order of `headings`.
    columns: Vec<Option<Meant>>,
    /// The data rows.
    rows: Vec<Record>,
    /// How its dates are written.
    pub(crate) dates: DateOrder,
    /// What stands before the decimals of its numbers.
    pub(crate) mark: Mark,
}

impl Table {
    /// Takes up the table in `text`; `None` where there is no header to go by.
    pub(crate) fn open(
        layout: &'static Layout,
        path: &str,
        text: &str,
        mapping: &Mapping,
        problems: &mut Vec<Problem>,
    ) -> Option<Table> {
        if text.trim().is_empty() {
            problems.push(Problem::new(Reading::FileEmpty { table: layout.table }, Place::file(path)));
            return None;
        }
        let delimiter = header::delimiter(text, layout, mapping);
        let records = split::records(text, delimiter).map_err(|unclosed| {
            let place = Place { row: Some(unclosed.row), ..Place::file(path) };
            problems.push(Problem::new(Reading::QuoteUnclosed, place));
        });
        let mut table = header::found(layout, path, records.ok()?, mapping, problems)?;
        surplus::refuse_long_rows(&table, problems);
        surplus::leave_out_totals(&mut table, problems);
        if table.rows.is_empty() {
            problems.push(Problem::new(Reading::TableEmpty { table: layout.table }, Place::file(path)));
        }
        table.mark = match delimiter {
            b';' => Mark::of(table.rows.iter().flat_map(|row| &row.cells)),
            _ => Mark::Point,
        };
        if table.dates == DateOrder::Unstated {
            table.dates = date::leaning(table.column("date"));
        }
        Some(table)
    }

    /// Makes something of every row; the rows that can't be used have said so.
    pub(crate) fn each<T>(
        &self,
        problems: &mut Vec<Problem>,
        mut make: impl FnMut(&mut Cells<'_>) -> Option<T>,
    ) -> Vec<T> {
        self.rows.iter().filter_map(|row| make(&mut Cells::of(self, row, problems))).collect()
    }

    /// Says which rows are the same as an earlier one.
    pub(crate) fn doubt_repeats(&self, problems: &mut Vec<Problem>) {
        surplus::doubt_repeats(self, problems);
    }

    /// The data rows.
    pub(crate) fn rows(&self) -> &[Record] {
        &self.rows
    }

    /// The places of the columns that the table has a use for.
    pub(crate) fn used(&self) -> impl Iterator<Item = usize> {
        self.columns.iter().enumerate().filter(|(_, meant)| meant.is_some()).map(|(at, _)| at)
    }

    /// The cells of a column that are filled.
    pub(crate) fn column<'a>(&'a self, column: &str) -> impl Iterator<Item = &'a str> + use<'a> {
        let at = self.position(column).map(|(at, _)| at);
        self.rows.iter().filter_map(move |row| at.map(|at| row.cell(at))).filter(|cell| !cell.is_empty())
    }

    /// Where a column stands, and its unit.
    pub(crate) fn position(&self, column: &str) -> Option<(usize, (f64, f64))> {
        let mut columns = self.columns.iter().enumerate();
        columns.find_map(|(at, meant)| {
            meant.filter(|meant| meant.column == column).map(|meant| (at, meant.unit))
        })
    }

    /// The place of a cell, with its row and the header to show.
    pub(crate) fn place(&self, row: &Record, at: usize) -> Place {
        let excerpt = Excerpt { header: self.headings.clone(), cells: row.cells.clone(), at };
        Place {
            path: Arc::clone(&self.path),
            row: Some(row.row),
            column: self.headings.get(at).cloned(),
            excerpt: Some(excerpt),
        }
    }
}
