//! One sheet of a workbook as rows of text.

use crate::{
    intake::{cell::number::Mark, limits, table::Record},
    problem::{Kind, Reading},
};

/// A sheet.
#[derive(Debug, Clone, Default)]
pub(crate) struct Sheet {
    /// Its name.
    pub(crate) name: String,
    /// Whether it is hidden from view.
    pub(crate) hidden: bool,
    /// Its rows; those in which nothing is typed are left out.
    pub(crate) records: Vec<Record>,
    /// The rows among them that are hidden from view, by a filter or by hand.
    pub(crate) hidden_rows: Vec<u32>,
    /// The rows all of whose filled cells are struck through.
    pub(crate) struck_rows: Vec<u32>,
    /// Cells that are joined.
    pub(crate) merges: Vec<Merge>,
    /// Cells with a formula that no program has computed: row, place in the row, formula.
    pub(crate) uncomputed: Vec<(u32, usize, String)>,
    /// Whether the workbook counts its days from 1904.
    pub(crate) from_1904: bool,
    cells: usize,
    bytes: u64,
}

/// Cells joined into one; rows count from 1, columns from 0, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Merge {
    pub(crate) top: u32,
    pub(crate) bottom: u32,
    pub(crate) left: usize,
    pub(crate) right: usize,
}

impl Sheet {
    /// A sheet without rows.
    pub(super) fn new(name: &str, hidden: bool) -> Sheet {
        Sheet { name: name.to_owned(), hidden, ..Sheet::default() }
    }

    /// Counts text that is laid out in `times` cells. Cells may share a text, so that a small file lays out a large sheet.
    ///
    /// # Errors
    /// It comes to more than a file may unpack to.
    pub(super) fn spend(&mut self, bytes: usize, times: usize) -> Result<(), Kind> {
        self.bytes = self.bytes.saturating_add((bytes as u64).saturating_mul(times as u64));
        match self.bytes > limits::UNPACKED {
            true => Err(Reading::UnpacksTooBig { limit: limits::UNPACKED }.into()),
            false => Ok(()),
        }
    }

    /// Remembers a row as struck through, where every filled cell of it is: so many are, and so many aren't.
    pub(super) fn strike(&mut self, row: u32, (struck, others): (u32, u32)) {
        if struck > 0 && others == 0 {
            self.struck_rows.push(row);
        }
    }

    /// Adds a row, if anything is typed in it.
    ///
    /// # Errors
    /// The sheet holds more cells than are read.
    pub(super) fn push(&mut self, row: u32, mut cells: Vec<String>, hidden: bool) -> Result<(), Kind> {
        while cells.last().is_some_and(|cell| cell.trim().is_empty()) {
            cells.pop();
        }
        if cells.is_empty() {
            return Ok(());
        }
        self.cells += cells.len();
        if self.cells > limits::SHEET {
            return Err(Reading::SheetTooBig { limit: limits::SHEET }.into());
        }
        if self.records.len() >= limits::ROWS {
            return Err(Reading::TooManyRows { limit: limits::ROWS }.into());
        }
        if hidden {
            self.hidden_rows.push(row);
        }
        self.records.push(Record { row, part: 0, cells: cells.into_iter().map(Into::into).collect() });
        Ok(())
    }
}

/// A number as the cell of a CSV would have it.
pub(super) fn number(value: f64) -> String {
    // Spreadsheets write fifteen digits; what stands beyond them is the dust of binary fractions.
    let rounded: f64 = format!("{value:.14e}").parse().unwrap_or(value);
    if rounded == 0.0 { "0".to_owned() } else { rounded.to_string() }
}

/// The number with `mark` before its decimals.
pub(super) fn marked(number: String, mark: Mark) -> String {
    if mark == Mark::Comma { number.replace('.', ",") } else { number }
}

/// A part of a whole as a percentage.
pub(super) fn percent(value: f64) -> String {
    number(value * 100.0) + "%"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_lose_their_dust() {
        assert_eq!(number(0.1 + 0.2), "0.3");
        assert_eq!(number(1200.0), "1200");
        assert_eq!(number(-0.0), "0");
        assert_eq!(number(18_400.350_000_000_002), "18400.35");
        assert_eq!(percent(0.07), "7%");
    }

    #[test]
    fn a_sheet_takes_no_more_than_its_limit() {
        let mut sheet = Sheet::new("a", false);
        sheet.push(1, vec![String::new(); 5], true).unwrap();
        sheet.push(2, vec![String::new(), "x".to_owned(), " ".to_owned()], true).unwrap();
        assert_eq!((sheet.records[0].cells.len(), &sheet.hidden_rows[..]), (2, &[2][..]));
        let mut wide = vec![String::new(); limits::SHEET + 1];
        wide[limits::SHEET] = "x".to_owned();
        assert_eq!(sheet.push(3, wide, false).unwrap_err().code(), "sheet-too-big");
    }
}
