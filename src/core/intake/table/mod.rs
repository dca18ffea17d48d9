//! The one table reader: finds the delimiter or the sheet, the header row and the columns, and knows every row's own number.

mod header;
mod heading;
mod sheets;
mod split;
mod surplus;
mod workbook;

use std::sync::Arc;

use crate::{
    intake::{
        cell::{Cells, date, number::Mark},
        mapping::{DateOrder, Mapping},
        nearest::nearest,
    },
    problem::{Excerpt, Place, Problem, Reading},
};

pub(crate) use heading::{Layout, key};
pub(crate) use split::Record;
pub(crate) use workbook::is_workbook;

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
    /// The row of the header.
    header: u32,
    /// The data rows.
    rows: Vec<Record>,
    /// Cells, by row and place, whose emptiness has had its word.
    excused: Vec<(u32, usize)>,
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
        if mapping.sheet.is_some() {
            let setting = format!("tables.{}.sheet", layout.table);
            let place = Place::file("project.toml").column(setting);
            problems.push(Problem::new(Reading::SheetOfNothing { file: path.to_owned() }, place));
        }
        let mut table = header::found(layout, path, records.ok()?, &[], mapping, problems)?;
        table.tidy(false, problems);
        if delimiter == b';' {
            table.mark = Mark::of(table.rows.iter().flat_map(|row| &row.cells).map(|cell| cell.as_str()));
        }
        Some(table)
    }

    /// Takes up the table in the workbook `bytes`; `None` where there is no sheet or no header to go by.
    pub(crate) fn open_workbook(
        layout: &'static Layout,
        path: &str,
        bytes: Vec<u8>,
        mapping: &Mapping,
        problems: &mut Vec<Problem>,
    ) -> Option<Table> {
        let mut sheet = workbook::sheet(layout, path, bytes, mapping, problems)?;
        if sheet.records.is_empty() {
            problems.push(Problem::new(Reading::FileEmpty { table: layout.table }, Place::file(path)));
            return None;
        }
        let records = std::mem::take(&mut sheet.records);
        let mut table = header::found(layout, path, records, &sheet.merges, mapping, problems)?;
        table.tidy(sheet.from_1904, problems);
        sheets::doubt(&mut table, &sheet, problems);
        Some(table)
    }

    /// Takes out what is no record, and settles how dates are written.
    fn tidy(&mut self, from_1904: bool, problems: &mut Vec<Problem>) {
        surplus::refuse_long_rows(self, problems);
        surplus::leave_out_totals(self, problems);
        if self.rows.is_empty() {
            let kind = Reading::TableEmpty { table: self.layout.table };
            problems.push(Problem::new(kind, Place { path: Arc::clone(&self.path), ..Place::default() }));
        }
        sheets::count_days(self, from_1904, problems);
        if self.dates == DateOrder::Unstated {
            self.dates = date::leaning(self.column("date"));
        }
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

    /// Says that `column` is not there, where it isn't: a column that must stand in the table though its cells may be empty.
    pub(crate) fn lacks(&self, column: &str, problems: &mut Vec<Problem>) -> bool {
        if self.position(column).is_some() {
            return false;
        }
        let nearest = nearest(column, self.headings.iter().map(String::as_str));
        let kind = Reading::ColumnMissing { table: self.layout.table, column: column.to_owned(), nearest };
        problems.push(Problem::new(kind, Place::file(Arc::clone(&self.path))));
        true
    }

    /// Whether it has been said why a cell is empty.
    pub(crate) fn is_excused(&self, row: &Record, at: usize) -> bool {
        self.excused.binary_search(&(row.row, at)).is_ok()
    }

    /// The place of a cell, with its row and the header to show.
    pub(crate) fn place(&self, row: &Record, at: usize) -> Place {
        let excerpt = Excerpt { header: self.headings.clone(), cells: row.texts(), at };
        Place {
            path: Arc::clone(&self.path),
            row: Some(row.row),
            column: self.headings.get(at).cloned(),
            excerpt: Some(excerpt),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::LazyLock;

    use super::*;

    static TREES: LazyLock<Layout> = LazyLock::new(|| Layout {
        table: "trees",
        required: vec!["date", "plot", "stems"],
        optional: vec!["height_m", "note"],
    });

    /// The numbers of the data rows, and each problem as its row, column and name.
    fn opened(text: &str, columns: &[(&str, &str)]) -> (Vec<u32>, Vec<String>) {
        let columns = columns.iter().map(|&(theirs, ours)| (theirs.to_owned(), ours.to_owned())).collect();
        let (mapping, mut problems) = (Mapping { columns, ..Mapping::default() }, Vec::new());
        let table = Table::open(&TREES, "trees.csv", text, &mapping, &mut problems);
        let rows = table.iter().flat_map(|table| table.rows()).map(|row| row.row).collect();
        let said = |problem: &Problem| {
            let (place, code) = (&problem.place, problem.kind.code());
            format!(
                "{} {} {code}",
                place.row.unwrap_or_default(),
                place.column.as_deref().unwrap_or_default()
            )
        };
        (rows, problems.iter().map(said).collect())
    }

    #[test]
    fn the_header_is_found_under_titles_in_any_order_and_by_any_delimiter() {
        for delimiter in [",", ";", "\t"] {
            let text = "Plot count 2025|||\n|||\nby A. Hand, see book|||\nStems|NOTE|Plot |Date\n3|a, b; c|N1|2025-03-01\n";
            let quoted = text
                .replace("by A. Hand, see book", "\"by A. Hand, see book\"")
                .replace("a, b; c", "\"a, b; c\"");
            assert_eq!(opened(&quoted.replace('|', delimiter), &[]), (vec![5], vec![]), "{delimiter:?}");
        }
    }

    #[test]
    fn columns_that_are_wrong_are_named() {
        let codes =
            |header: &str, columns: &[(&str, &str)]| opened(&format!("{header}\n1,2,3,4,5\n"), columns).1;
        assert_eq!(
            codes("date,plot,stem,,x", &[]),
            ["1  column-missing", "1 stem column-unknown", "1  column-unknown", "1 x column-unknown"]
        );
        assert_eq!(codes("date,plot,stems,Date,note", &[]), ["1 Date column-twice"]);
        assert_eq!(codes("date,plot,stems,height_cm,Height (m)", &[]), ["1 Height (m) columns-alike"]);
        assert_eq!(codes("When,plot,stems,date,note", &[("When", "date")]), ["1 date column-unknown"]);
        assert_eq!(opened("a,b\n1,2\n", &[]), (vec![], vec!["1  no-header".to_owned()]));
    }

    #[test]
    fn a_row_is_no_longer_than_the_header() {
        let (rows, said) = opened("date,plot,stems\n1 Mar 2025,N1,3,,\n1 Mar 2025,N1,3,,x\n", &[]);
        assert_eq!((rows, said), (vec![2, 3], vec!["3  row-too-long".to_owned()]));
    }

    #[test]
    fn totals_are_left_out_and_nothing_else_is() {
        let table = |last: &str| {
            opened(&format!("date,plot,stems,note\n2025-03-01,N1,3,\n2025-03-01,N2,4,\n{last}\n"), &[])
        };
        for last in ["Total,,7,", ",Grand total:,7,", ",,7,", ",,,Total 7", "Sum,,9,"] {
            assert_eq!(table(last).0, [2, 3], "{last}");
        }
        assert_eq!(table("Subtotal,,7,\n,TOTAL,7,").0, [2, 3]);
        for last in [",N3,4,", ",,8,", "2025-03-01,Total,7,", ",N3,4,Total loss to hares"] {
            assert_eq!(table(last).0, [2, 3, 4], "{last}");
        }
    }

    #[test]
    fn a_table_without_rows_and_a_file_without_text_are_errors() {
        assert_eq!(opened("date,plot,stems\n,,\n", &[]).1, ["0  table-empty"]);
        assert_eq!(opened(" \n", &[]).1, ["0  file-empty"]);
    }
}
