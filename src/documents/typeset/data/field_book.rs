//! The field book, to be printed and filled in on the hill.

use schemars::JsonSchema;
use serde::Serialize;
use typst_pdf::PdfStandard;

use crate::typeset::data::{Job, meta::Meta, printed, tree};
use hillfolio_core::project::{Cell, Check, FieldSheet, Project};

/// Written as PDF/UA-1; PDF/A asks for a date.
const STANDARDS: &[PdfStandard] = &[PdfStandard::Ua_1];

/// What it is called.
const TITLE: &str = "Field book";

/// Rows that are left blank under those that are known.
const BLANK: usize = 3;

/// Columns that are printed beside the keys: more have no room to write in.
const WRITTEN: usize = 6;

#[derive(Serialize, JsonSchema)]
pub(crate) struct Book {
    meta: Meta,
    footer: String,
    heading: &'static str,
    name: String,
    sheets: Vec<Sheet>,
}

#[derive(Serialize, JsonSchema)]
struct Sheet {
    title: &'static str,
    about: &'static str,
    columns: Vec<Column>,
    /// A table a place: what it is called, and its rows.
    groups: Vec<Group>,
}

#[derive(Serialize, JsonSchema)]
struct Column {
    name: &'static str,
    given: bool,
    number: bool,
}

#[derive(Serialize, JsonSchema)]
struct Group {
    name: String,
    rows: Vec<Vec<String>>,
}

/// The field book of `project`, to be set.
pub(crate) fn job(project: &Project, sheets: &[FieldSheet], version: &str) -> Job {
    let name = printed::shortened(&project.identity.name, 60);
    let data = Book {
        meta: Meta::undated(&format!("{TITLE}: {name}"), version, "PDF/UA-1"),
        footer: format!("{TITLE}  ·  {name}"),
        heading: TITLE,
        name,
        sheets: sheets.iter().map(sheet).collect(),
    };
    Job {
        name: "field-book.pdf".to_owned(),
        template: "field-book.typ",
        data: tree(&data),
        images: Vec::new(),
        drawings: Vec::new(),
        standards: STANDARDS,
    }
}

/// A sheet; its first column makes a table of its own for each place in it, and the day stands above.
fn sheet(sheet: &FieldSheet) -> Sheet {
    let places: Vec<usize> =
        (1..sheet.columns.len()).filter(|&at| sheet.columns[at].name != "date").collect();
    let keys = places.iter().copied().filter(|&at| sheet.columns[at].given);
    let written = places.iter().copied().filter(|&at| !sheet.columns[at].given).take(WRITTEN);
    let shown: Vec<usize> = keys.chain(written).collect();
    let column = |&at: &usize| Column {
        name: sheet.columns[at].name,
        given: sheet.columns[at].given,
        number: matches!(sheet.columns[at].check, Check::Count | Check::Percent | Check::Number),
    };
    let mut groups: Vec<Group> = Vec::new();
    for row in &sheet.rows {
        let name = row.first().map(text).unwrap_or_default();
        let cells = shown.iter().map(|&at| row.get(at).map(text).unwrap_or_default()).collect();
        match groups.last_mut().filter(|group| group.name == name) {
            Some(group) => group.rows.push(cells),
            None => groups.push(Group { name, rows: vec![cells] }),
        }
    }
    for group in &mut groups {
        group.rows.extend(std::iter::repeat_n(vec![String::new(); shown.len()], BLANK));
    }
    Sheet {
        title: sheet.title,
        about: sheet.columns[0].name,
        columns: shown.iter().map(column).collect(),
        groups,
    }
}

fn text(cell: &Cell) -> String {
    match cell {
        Cell::Empty => String::new(),
        Cell::Text(text) => text.clone(),
        Cell::Number(number) => number.to_string(),
        Cell::Money(sum) => sum.to_string(),
        Cell::Day(day) => day.to_string(),
    }
}
