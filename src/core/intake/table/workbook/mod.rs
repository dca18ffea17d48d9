//! Workbooks: one sheet of an XLSX or ODS as rows of text, as if it had been saved as CSV, with what a CSV can't say.
//!
//! Read here and not by a crate for workbooks, because those that were looked at don't tell hidden rows, pass a formula that
//! was never computed for an empty cell, and lay a sheet out in memory from corner to corner, whatever it claims to hold.

mod formats;
mod ods;
mod serial;
mod sheet;
mod xlsx;

use crate::{
    intake::{
        archive::Archive,
        cell::number::Mark,
        mapping::{Mapping, Sheets},
        nearest::{nearest, same},
        table::{Layout, header, likely},
    },
    problem::{Kind, Place, Problem, Reading},
};

pub(crate) use sheet::{Merge, Sheet};

/// An open workbook.
enum Book {
    Xlsx(xlsx::Xlsx),
    Ods(Vec<Sheet>),
}

/// A sheet by its name, and whether it is hidden from view.
type Name = (String, bool);

impl Book {
    /// The workbook in `bytes`, whose numbers are written out with `mark` before their decimals.
    fn open(bytes: Vec<u8>, mark: Mark) -> Result<Book, Kind> {
        let mut archive = Archive::open(bytes, "XLSX or ODS")?;
        match archive.like("content.xml") {
            Some(content) => ods::sheets(&mut archive, &content, mark).map(Book::Ods),
            None => xlsx::Xlsx::open(archive, mark).map(Book::Xlsx),
        }
    }

    fn names(&self) -> Vec<Name> {
        match self {
            Book::Xlsx(book) => book.names(),
            Book::Ods(sheets) => sheets.iter().map(|sheet| (sheet.name.clone(), sheet.hidden)).collect(),
        }
    }

    fn sheet(&mut self, at: usize) -> Result<Sheet, Kind> {
        match self {
            Book::Xlsx(book) => book.sheet(at),
            Book::Ods(sheets) => Ok(sheets[at].clone()),
        }
    }
}

/// Whether the file at `path` is a workbook, by its ending.
pub(crate) fn is_workbook(path: &str) -> bool {
    let ending = path.rsplit_once('.').map(|(_, ending)| ending.to_ascii_lowercase());
    matches!(ending.as_deref(), Some("xlsx" | "xlsm" | "ods"))
}

/// The sheets of the workbook in `bytes` that hold the table, in their order; none where that has been said.
pub(crate) fn sheets(
    layout: &'static Layout,
    path: &str,
    bytes: Vec<u8>,
    mapping: &Mapping,
    problems: &mut Vec<Problem>,
) -> Vec<Sheet> {
    // A number is told from a text that looks like one here alone.
    let mark = mapping.decimals.unwrap_or(Mark::Point);
    let found = Book::open(bytes, mark).and_then(|mut book| {
        let sheets = match &mapping.sheets {
            Sheets::One(named) => vec![named_sheet(&mut book, named)?],
            Sheets::These(named) => {
                named.iter().map(|named| named_sheet(&mut book, named)).collect::<Result<_, _>>()?
            }
            Sheets::All => {
                let names = book.names();
                let visible = (0..names.len()).filter(|&at| !names[at].1);
                let sheets = visible.map(|at| book.sheet(at)).collect::<Result<Vec<_>, _>>()?;
                sheets.into_iter().filter(|sheet| !sheet.records.is_empty()).collect()
            }
            Sheets::Likely => vec![likely_sheet(&mut book, layout, mapping)?],
        };
        if matches!(mapping.sheets, Sheets::One(_) | Sheets::Likely) {
            problems.extend(left(&mut book, layout, path, mapping, &sheets)?);
        }
        Ok(sheets)
    });
    let place = |kind: &Kind| match kind {
        Kind::Reading(Reading::SheetMissing { .. }) => {
            Place::file("project.toml").column(format!("tables.{}.sheet", layout.table))
        }
        _ => Place::file(path),
    };
    found.map_err(|kind| problems.push(Problem::new(kind.clone(), place(&kind)))).unwrap_or_default()
}

/// The doubt that other sheets in view hold such a table too.
fn left(
    book: &mut Book,
    layout: &'static Layout,
    path: &str,
    mapping: &Mapping,
    taken: &[Sheet],
) -> Result<Option<Problem>, Kind> {
    let (names, mut left) = (book.names(), Vec::new());
    for (at, (name, hidden)) in names.iter().enumerate() {
        if *hidden || taken.iter().any(|sheet| sheet.name == *name) {
            continue;
        }
        let sheet = book.sheet(at)?;
        // Headings of another year may be other words for the same.
        let likely = || {
            let rows = sheet.records.iter().take(header::TITLES);
            likely::needed(layout) > 1
                && rows.clone().any(|row| likely::fit(layout, &row.texts(), &|_, _| true).is_some())
        };
        if header::fits(&sheet.records, &sheet.merges, layout, mapping) || likely() {
            left.push((name.clone(), sheet.records.len().saturating_sub(1)));
        }
    }
    if left.is_empty() {
        return Ok(None);
    }
    let taken = taken.iter().map(|sheet| sheet.name.clone()).collect();
    let kind = Reading::SheetsLeft { table: layout.table, taken, left };
    Ok(Some(Problem::new(kind, Place::file(path))))
}

/// The sheet that the mapping names, hidden or not.
fn named_sheet(book: &mut Book, named: &str) -> Result<Sheet, Kind> {
    let names = book.names();
    match names.iter().position(|(name, _)| same(name, named)) {
        Some(at) => book.sheet(at),
        None => {
            let found: Vec<String> = names.into_iter().map(|(name, _)| name).collect();
            let nearest = nearest(named, found.iter().map(String::as_str));
            Err(Reading::SheetMissing { sheet: named.to_owned(), found, nearest }.into())
        }
    }
}

/// The first of the sheets whose headings likely mean the columns that the table needs.
fn likely_one(book: &mut Book, layout: &'static Layout, visible: &[usize]) -> Result<Option<usize>, Kind> {
    for &at in visible {
        let rows = book.sheet(at)?.records;
        if rows
            .iter()
            .take(header::TITLES)
            .any(|row| likely::fit(layout, &row.texts(), &|_, _| true).is_some())
        {
            return Ok(Some(at));
        }
    }
    Ok(None)
}

/// The visible sheet that bears the table's name, else the only one, else the only one with the table's header.
fn likely_sheet(book: &mut Book, layout: &'static Layout, mapping: &Mapping) -> Result<Sheet, Kind> {
    let names = book.names();
    let visible: Vec<usize> = (0..names.len()).filter(|&at| !names[at].1).collect();
    let named = visible.iter().find(|&&at| same(&names[at].0, layout.table));
    match (named, &visible[..]) {
        (Some(&at), _) | (None, &[at]) => return book.sheet(at),
        _ => {}
    }
    let mut fitting = Vec::new();
    for &at in &visible {
        let sheet = book.sheet(at)?;
        if header::fits(&sheet.records, &sheet.merges, layout, mapping) {
            fitting.push(sheet);
        }
    }
    match fitting.len() {
        1 => Ok(fitting.swap_remove(0)),
        // Headings in words of the user's own lead to the lines that map them; then it shows which sheets hold the table.
        0 if let Some(at) = likely_one(book, layout, &visible)? => book.sheet(at),
        several => {
            let sheets = match several {
                0 => names.into_iter().map(|(name, _)| name).collect(),
                _ => fitting.into_iter().map(|sheet| sheet.name).collect(),
            };
            Err(Reading::SheetUnclear { table: layout.table, sheets, fitting: several }.into())
        }
    }
}
