//! The list of corrections, to be printed and filled in.

use schemars::JsonSchema;
use serde::Serialize;
use typst_pdf::PdfStandard;

use crate::typeset::data::{Job, meta::Meta, notes::sentence, printed, tree};
use hillfolio_core::problem::{Correction, Grade};

/// Written as PDF/UA-1; PDF/A asks for a date.
const STANDARDS: &[PdfStandard] = &[PdfStandard::Ua_1];

/// What the list is called; its file is known by it.
pub(crate) const TITLE: &str = "List of corrections";

/// The tree of the list.
#[derive(Serialize, JsonSchema)]
pub(crate) struct List {
    meta: Meta,
    footer: String,
    heading: &'static str,
    folder: String,
    errors: Vec<Line>,
    doubts: Vec<Line>,
}

/// One correction.
#[derive(Serialize, JsonSchema)]
struct Line {
    number: String,
    file: String,
    /// The rows and the column.
    place: String,
    read: String,
    wrong: String,
    to_do: String,
}

/// The list of `corrections` of the folder called `folder`, to be set.
pub(crate) fn job(folder: &str, corrections: &[Correction], version: &str) -> Job {
    let folder = printed::shortened(folder, 60);
    let of = |grade: Grade| {
        let numbered = (1..).zip(corrections).filter(move |(_, one)| one.grade == grade);
        numbered.map(|(number, one): (u32, _)| line(number, one)).collect()
    };
    let data = List {
        meta: Meta::undated(&format!("{TITLE}: {folder}"), version, "PDF/UA-1"),
        footer: format!("{TITLE}  ·  {folder}"),
        heading: TITLE,
        folder,
        errors: of(Grade::Error),
        doubts: of(Grade::Doubt),
    };
    Job {
        name: "corrections.pdf".to_owned(),
        template: "corrections.typ",
        data: tree(&data),
        images: Vec::new(),
        drawings: Vec::new(),
        standards: STANDARDS,
    }
}

fn line(number: u32, one: &Correction) -> Line {
    let rows = match one.rows.as_str() {
        "" => String::new(),
        rows if rows.contains(['-', ',']) => format!("rows {rows}"),
        row => format!("row {row}"),
    };
    let place = [rows, one.column.clone()].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>();
    Line {
        number: number.to_string(),
        file: one.file.clone(),
        place: place.join(", "),
        read: printed::shortened(&one.read, 200),
        wrong: sentence(&one.wrong),
        to_do: sentence(&one.to_do),
    }
}
