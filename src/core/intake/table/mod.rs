//! The one table reader, from bytes to rows whose columns are understood, each of which knows its own file and number.
//!
//! A table is taken up step by step, a file a step: each file or sheet is split into cells (`split`, `workbook`), its headings
//! are found and joined (`header`), totals are left out (`totals`), wrapped rows joined (`wrapped`), repeated cells filled (`fill`),
//! rows chosen (`choose`), wide tables made long (`wide`), columns made (`made`). Then the parts are put together and cells
//! in the user's own words are read (`values`). What the mapping does not ask for changes nothing.

mod choose;
mod day_order;
mod each;
mod empty;
mod field;
mod fill;
mod grid;
mod header;
mod heading;
mod heading_words;
mod headless;
pub(crate) mod held;
pub(crate) mod holds;
mod joined_position;
pub(crate) mod likely;
mod made;
mod money_words;
mod part;
mod sheets;
mod split;
mod sum;
mod surplus;
mod told;
mod totals;
mod values;
mod wide;
mod workbook;
mod wrapped;

use std::{collections::BTreeSet, sync::Arc};

use crate::{
    intake::{
        cell::{date, number::Mark},
        mapped::same_heading,
        mapping::{DateOrder, Mapping, Sheets},
        nearest::folded,
    },
    problem::{Excerpt, Grade, Kind, Place, Problem, Reading, quoted},
    project::{Spending, TableRow as _},
};

pub(crate) use header::TITLES;
pub(crate) use heading::{Layout, key};
pub(crate) use headless::headings_of_sums;
pub(crate) use part::Raw;
pub(crate) use split::Record;
pub(crate) use totals::says as says_total;
pub(crate) use workbook::is_workbook;

/// The first rows of the text at `path`, in which its headings may stand.
pub(crate) fn rows_of(layout: &Layout, path: &str, text: &str) -> Vec<Vec<String>> {
    Raw::text(layout, path, text, &Mapping::default(), &mut Vec::new())
        .map(Raw::first_rows)
        .unwrap_or_default()
}

/// The sheets in view of the workbook in `bytes`, each with its name and its rows; none where it can't be read.
pub(crate) fn in_view(layout: &'static Layout, path: &str, bytes: Vec<u8>) -> Vec<(String, Vec<Line>)> {
    let every = Mapping { sheets: Sheets::All, ..Mapping::default() };
    let raws = Raw::workbook(layout, path, bytes, &every, &mut Vec::new());
    raws.into_iter().map(|raw| (raw.sheet().to_owned(), raw.lines())).collect()
}

/// A row as a spreadsheet counts, and its cells.
pub(crate) type Line = (u32, Vec<String>);

/// Every row of the sheets of a workbook that the mapping names.
///
/// # Errors
/// It can't be read, or has no such sheet.
pub(crate) fn sheets_of(
    layout: &'static Layout,
    path: &str,
    bytes: Vec<u8>,
    mapping: &Mapping,
) -> Result<Vec<Vec<Line>>, Problem> {
    let mut problems = Vec::new();
    let sheets = Raw::workbook(layout, path, bytes, mapping, &mut problems);
    match problems.into_iter().find(|problem| problem.grade() == Grade::Error) {
        Some(problem) => Err(problem),
        None => Ok(sheets.into_iter().map(Raw::lines).collect()),
    }
}

pub(crate) use grid::Grid;
pub(crate) use held::Held;
pub(crate) use part::Part;

pub(crate) use grid::Heading;
use heading::{Meant, meant, named};
use part::Shaping;

/// A table whose headings are understood and whose rows are still text.
#[derive(Debug, Clone)]
pub(crate) struct Table {
    /// Path inside the project folder; of several files that of the first.
    pub(crate) path: Arc<str>,
    pub(crate) layout: &'static Layout,
    /// The columns' headings.
    headings: Vec<Heading>,
    /// Every heading as it is typed in a file.
    typed: Vec<String>,
    /// What each heading stands for, in the order of `headings`.
    columns: Vec<Option<Meant>>,
    /// The files and sheets that its rows stand in.
    parts: Vec<Part>,
    /// The data rows.
    rows: Vec<Record>,
    /// Rows, by part, in which the emptiness of a cell has had its word.
    excused: Vec<(u16, u32)>,
    /// Rows that the settings leave out, as they are told, and what these hold.
    left: Vec<(Reading, Vec<Held>)>,
    /// The first of the files and sheets that they stand in.
    left_in: Option<Arc<str>>,
    /// How it is taken up.
    pub(crate) mapping: Mapping,
}

impl Table {
    /// Takes up the table in `text`; `None` where there are no headings to go by.
    pub(crate) fn open(
        layout: &'static Layout,
        path: &str,
        text: &str,
        mapping: &Mapping,
        problems: &mut Vec<Problem>,
    ) -> Option<Table> {
        let raw = Raw::text(layout, path, text, mapping, problems)?;
        Table::of(layout, vec![raw], mapping, problems)
    }

    /// Takes up the table whose rows stand in `raws`, one after another; `None` where there are no headings to go by.
    pub(crate) fn of(
        layout: &'static Layout,
        raws: Vec<Raw>,
        mapping: &Mapping,
        problems: &mut Vec<Problem>,
    ) -> Option<Table> {
        let mut told = Shaping::default();
        let (mut parts, mut whole) = (Vec::new(), Grid::default());
        for (number, raw) in (0..=u16::MAX).zip(raws) {
            let (part, grid) = raw.shaped(number, layout, mapping, &mut told, problems)?;
            parts.push(part);
            whole.append(grid);
        }
        let path = Arc::clone(&parts.first()?.path);
        let meaning = |heading: &Heading| match &heading.made {
            Some(made) => named(made, layout).map(|meant| meant.times(mapping)),
            None => meant(&heading.text, layout, mapping),
        };
        let columns = whole.headings.iter().map(meaning).collect();
        let (excused, typed) = (std::mem::take(&mut told.excused), std::mem::take(&mut told.typed));
        let Grid { headings, rows } = whole;
        let mapping = mapping.clone();
        let (left, left_in) = (Vec::new(), None);
        let mut table =
            Table { path, layout, headings, typed, columns, parts, rows, excused, left, left_in, mapping };
        header::judge(&table, &table.mapping, problems);
        told::shaping(&table, &told, problems);
        table.left = told::left(&table.mapping, &told);
        table.left_in = told.left_in.into_iter().next();
        // Of money it is said with what it would change, once the payments are known.
        if layout.table != Spending::TABLE {
            problems.extend(table.rows_left(|_| String::new()));
        }
        table.tidy(problems);
        Some(table)
    }

    /// Reads words as what they stand for, and settles how dates are written.
    fn tidy(&mut self, problems: &mut Vec<Problem>) {
        if self.rows.is_empty() {
            let kind = Reading::TableEmpty { table: self.layout.table };
            problems.push(Problem::new(kind, Place { path: Arc::clone(&self.path), ..Place::default() }));
        }
        let mut rows = std::mem::take(&mut self.rows);
        values::read(&mut rows, self.headings.len(), &self.mapping, |column| self.place_of(column));
        let columns: Vec<_> =
            (0..).zip(&self.columns).filter_map(|(at, meant)| Some((at, meant.as_ref()?.column))).collect();
        for (row, at, found, cells) in empty::emptied(&mut rows, &columns, self.layout) {
            let kind = Reading::TakenForEmpty { table: self.layout.table, found, cells };
            problems.push(Problem::new(kind, self.place(&row, at)));
        }
        self.rows = rows;
        sheets::count_days(self, problems);
        day_order::settle(self, problems);
        self.add_up(problems);
    }

    /// Adds up the columns that the mapping says, over rows that agree in all others that are read.
    fn add_up(&mut self, problems: &mut Vec<Problem>) {
        let summed: Vec<usize> = self.mapping.sum.iter().filter_map(|column| self.place_of(column)).collect();
        if summed.is_empty() {
            return;
        }
        let day = self.position("date").map(|(at, _)| at);
        let alike: Vec<usize> = self.used().filter(|at| !summed.contains(at)).collect();
        let rows = std::mem::take(&mut self.rows);
        let before = rows.len();
        // The hour of a reading makes no other day of it.
        let told = |row: &Record, at: usize| {
            let read = (Some(at) == day).then(|| date::day(row.cell(at), self.dates(row)));
            match read {
                Some(Ok(date::Day::Certain(found) | date::Day::Either(found, _))) => found.to_string(),
                _ => folded(row.cell(at)),
            }
        };
        let rows = sum::of(rows, &alike, &summed, |row| self.mark(row), told);
        let (rows_of, left) = (before, rows.len());
        self.rows = rows;
        if left < rows_of {
            let kind = Reading::RowsAdded { rows: rows_of, sums: left, column: self.mapping.sum.join(", ") };
            problems.push(Problem::new(kind, Place::file(Arc::clone(&self.path))));
        }
    }

    /// Where the column that the mapping calls `name` stands: by what it stands for, else by its heading.
    pub(crate) fn place_of(&self, name: &str) -> Option<usize> {
        let meant = named(name, self.layout).and_then(|meant| self.position(meant.column)).map(|(at, _)| at);
        meant.or_else(|| self.headings.iter().position(|heading| same_heading(&heading.text, name)))
    }

    /// The row of the headings.
    fn header(&self) -> u32 {
        self.parts.first().map_or(1, |part| part.header)
    }

    /// The headings, as they are told.
    pub(crate) fn headings(&self) -> impl Iterator<Item = &str> {
        self.headings.iter().map(|heading| heading.text.as_str())
    }

    /// The file or sheet of a row.
    pub(crate) fn path_of(&self, row: &Record) -> &Arc<str> {
        self.parts.get(usize::from(row.part)).map_or(&self.path, |part| &part.path)
    }

    /// The files and sheets that its rows stand in, each with how many.
    pub(crate) fn parts(&self) -> impl Iterator<Item = (&str, usize)> {
        let rows = |number| self.rows.iter().filter(|row| row.part == number).count();
        (0..).zip(&self.parts).map(move |(number, part)| (&*part.path, rows(number)))
    }

    /// The sheets of workbooks that its rows stand in, by their names.
    pub(crate) fn sheets(&self) -> impl Iterator<Item = &str> {
        self.parts.iter().map(|part| part.sheet.as_str()).filter(|name| !name.is_empty())
    }

    /// How the days of a row are written.
    pub(crate) fn dates(&self, row: &Record) -> DateOrder {
        self.parts.get(usize::from(row.part)).map_or(self.mapping.dates, |part| part.dates)
    }

    /// What stands before the decimals in a row.
    pub(crate) fn mark(&self, row: &Record) -> Mark {
        self.parts.get(usize::from(row.part)).map_or(Mark::Point, |part| part.mark)
    }

    /// The same without some of its rows, each by its part and its number there.
    pub(crate) fn without(&self, out: &BTreeSet<(u16, u32)>) -> Table {
        let kept = self.rows.iter().filter(|row| !out.contains(&(row.part, row.row))).cloned().collect();
        Table { rows: kept, ..self.clone() }
    }

    /// What is said of rows that the settings leave out, with what comes of what they hold, as `came_to` has it.
    pub(crate) fn rows_left(&self, came_to: impl Fn(&[Held]) -> String) -> Vec<Problem> {
        let one = |(told, held): &(Reading, Vec<Held>)| {
            let mut told = told.clone();
            if let Reading::RowsLeftOut { held: said, .. } = &mut told
                && !held.is_empty()
            {
                said.push_str(&came_to(held));
            }
            Problem::new(told, Place::file(Arc::clone(self.left_in.as_ref().unwrap_or(&self.path))))
        };
        self.left.iter().map(one).collect()
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

    /// Whether what stands beneath a heading can be what `column` holds.
    pub(crate) fn can_hold(&self, heading: &str, column: &str) -> bool {
        let Some(at) = self.headings().position(|other| other == heading) else { return true };
        holds::can_hold(column, self.rows.iter().take(TITLES).map(|row| row.cell(at)))
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
        self.lacks_all(&[column], column, problems)
    }

    /// Says that none of `columns` is there, where none is: one or some of them, `said` in words, must stand in the table.
    pub(crate) fn lacks_all(&self, columns: &[&str], said: &str, problems: &mut Vec<Problem>) -> bool {
        if columns.iter().any(|column| self.position(column).is_some()) {
            return false;
        }
        let holds = |heading: &str, column: &str| self.can_hold(heading, column);
        let proposed = likely::lines(self.layout, columns, self.headings().map(str::to_owned), &holds);
        // The headings that are proposed need no word of their own any more.
        let again = |problem: &Problem| {
            matches!(&problem.kind, Kind::Reading(Reading::ColumnUnknown { table, column, .. })
                if *table == self.layout.table
                    && proposed.as_ref().is_some_and(|lines| lines.contains(&quoted(column))))
        };
        problems.retain(|problem| !again(problem));
        let kind =
            Reading::ColumnMissing { table: self.layout.table, columns: vec![said.to_owned()], proposed };
        problems.push(Problem::new(kind, Place::file(Arc::clone(&self.path))));
        true
    }

    /// Whether it has been said why a cell of the row is empty.
    pub(crate) fn is_excused(&self, row: &Record) -> bool {
        self.excused.contains(&(row.part, row.row))
    }

    /// The heading in the file of the column that a cell of a wide table stood in; `None` of any other cell.
    fn spread_from(&self, row: &Record, at: usize) -> Option<String> {
        let made = self.headings.get(at)?.made.as_ref()?;
        let star = self.headings.iter().position(|heading| heading.text == wide::STAR)?;
        let says = row.cell(star);
        let of = |(pattern, column): &(crate::intake::mapped::Pattern, String)| {
            let is = |heading: &&String| match pattern.span() {
                Some(_) => heading.as_str() == says,
                None => pattern.found(heading).as_deref() == Some(says),
            };
            if same_heading(column, made) { self.typed.iter().find(is) } else { None }
        };
        let heading: &String = self.mapping.wide.iter().find_map(of)?;
        Some(heading.clone())
    }

    /// The place of a cell, with its row and the header to show.
    pub(crate) fn place(&self, row: &Record, at: usize) -> Place {
        let header: Vec<String> = self.headings().map(str::to_owned).collect();
        let spread = self.spread_from(row, at);
        let made = spread.is_none() && self.headings.get(at).is_some_and(|heading| heading.made.is_some());
        let column = spread.or_else(|| header.get(at).cloned());
        let excerpt = Excerpt { header, cells: row.texts(), at, made };
        Place {
            path: Arc::clone(self.path_of(row)),
            row: Some(row.row),
            column,
            excerpt: Some(Box::new(excerpt)),
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
        assert_eq!(codes("date,plot,stem,,x", &[]), ["1  column-missing", "1  columns-unused"]);
        assert_eq!(codes("date,plot,stems,Date,note", &[]), ["1 Date column-twice"]);
        assert_eq!(codes("date,plot,stems,height_cm,Height (m)", &[]), ["1 Height (m) columns-alike"]);
        assert_eq!(codes("When,plot,stems,date,note", &[("When", "date")]), ["1  columns-unused"]);
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
        for last in
            ["Total,,7,", ",Grand total:,7,", ",,7,", ",,,Total 7", "Sum,,9,", "All,,7,", "Σ,,7,", "All,,9,"]
        {
            assert_eq!(table(last).0, [2, 3], "{last}");
        }
        assert_eq!(table("Subtotal,,7,\n,TOTAL,7,").0, [2, 3]);
        // Between rows too, and beside a day or a name where it is what they make.
        assert_eq!(
            table("2025-03-01,Total,7,\n2025-03-02,N3,5,\n2025-03-02,N4,5,\nTotal N,,10,\n,,17,").0,
            [2, 3, 5, 6]
        );
        for last in [
            ",N3,4,",
            ",,8,",
            "2025-03-01,Total,8,",
            ",N3,4,Total loss to hares",
            "2025-03-02,All,8,",
            "2025-03-02,All,7,all",
        ] {
            assert_eq!(table(last).0, [2, 3, 4], "{last}");
        }
    }

    #[test]
    fn a_table_without_rows_and_a_file_without_text_are_errors() {
        assert_eq!(opened("date,plot,stems\n,,\n", &[]).1, ["0  table-empty"]);
        assert_eq!(opened(" \n", &[]).1, ["0  file-empty"]);
    }
}
