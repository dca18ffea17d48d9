//! The funder's own forms: placeholders of DOCX and XLSX files put by figures, answers, rows of tables and pictures, and nothing else of
//! the file changed.
//!
//! Members of the file that hold no placeholder are copied as they are packed, macros and links among them: nothing is run or followed.
//! Of a part that holds some, the bytes between the placeholders stay.

mod cell_formats;
mod cell_names;
mod docx;
mod package;
mod pictures;
mod placeholder;
mod sheet_parts;
mod splice;
mod tree;
mod values;
mod xlsx;

use std::collections::BTreeSet;

use chrono::NaiveDate;

use hillfolio_core::problem::{Funding, Place, Problem};

use tree::Tree;

pub use pictures::Shot;
pub use values::Values;

/// The folder of forms, inside the project folder and among the outputs.
pub const FORMS: &str = "forms/";

/// Why a form can't be filled at all.
#[derive(Debug, thiserror::Error)]
pub(crate) enum FormError {
    /// It is no zip, or a spoilt one.
    #[error("it is no whole DOCX or XLSX: {0}")]
    Zip(#[from] zip::result::ZipError),
    /// Reading or writing in memory failed.
    #[error("it is no whole DOCX or XLSX: {0}")]
    Memory(#[from] std::io::Error),
    /// More than anybody's form holds.
    #[error("it holds more than a form does: {0}")]
    TooLarge(&'static str),
    /// A part that is no XML as word processors and spreadsheets write it.
    #[error("{part} is not read: {why}")]
    Malformed { part: String, why: String },
    /// A picture that can't be drawn.
    #[error("a picture can't be drawn: {0}")]
    Picture(String),
}

/// What became of a form.
#[derive(Debug, Default)]
pub struct Filled {
    /// The form with everything in it that could be filled; nothing where it can't be read.
    pub bytes: Option<Vec<u8>>,
    /// What could not be filled.
    pub problems: Vec<Problem>,
}

/// What could not be filled, as it is found, each once.
#[derive(Debug, Default)]
pub(crate) struct Unfilled {
    kinds: Vec<Funding>,
    /// The names that were asked for, as they stand in the form.
    asked: BTreeSet<String>,
    /// Whether what was made of the form would mislead, and is not written.
    refused: bool,
}

impl Unfilled {
    fn say(&mut self, found: &str, why: impl Into<String>, nearest: Option<String>) {
        let kind = Funding::FormUnfilled { found: found.to_owned(), why: why.into(), nearest };
        if !self.kinds.contains(&kind) {
            self.kinds.push(kind);
        }
    }

    /// That a figure called so was put in.
    fn put(&mut self, name: &str) {
        self.asked.insert(name.to_owned());
    }

    fn refuse(&mut self, kind: Funding) {
        self.refused = true;
        self.kinds.push(kind);
    }

    /// Says of every placeholder in the words of `tree` that stand in elements of these names that nothing is filled there.
    fn say_beside(&mut self, tree: &Tree<'_>, names: &[&str], place: &str) {
        for name in names {
            for at in tree.named(name) {
                // Words may be cut into runs, each in a form of its own.
                let runs = tree.within(at).filter(|&part| tree.elements[part].name == "t");
                let words =
                    tree.words(at).unwrap_or_else(|| runs.filter_map(|run| tree.words(run)).collect());
                for one in placeholder::placeholders(&words) {
                    self.say(&one.inside, format!("it stands in {place}, where nothing is filled"), None);
                }
            }
        }
    }
}

/// Whether the file at `path` is a form, by its ending.
#[must_use]
pub fn is_form(path: &str) -> bool {
    let ending = path.rsplit_once('.').map(|(_, ending)| ending.to_ascii_lowercase());
    path.starts_with(FORMS) && matches!(ending.as_deref(), Some("docx" | "docm" | "xlsx" | "xlsm"))
}

/// The form at `path` filled; what it adds is `dated`.
#[must_use]
pub fn fill(path: &str, bytes: Vec<u8>, values: &Values<'_>, dated: NaiveDate) -> Filled {
    let mut unfilled = Unfilled::default();
    let is_word =
        path.to_ascii_lowercase().rsplit_once('.').is_some_and(|(_, ending)| ending.starts_with("doc"));
    let made = match is_word {
        true => docx::fill(bytes, values, dated, &mut unfilled),
        false => xlsx::fill(bytes, values, dated, &mut unfilled),
    };
    if let Some(kind) = values.unlike_spans(&unfilled.asked) {
        unfilled.kinds.push(kind);
    }
    let Unfilled { mut kinds, refused, .. } = unfilled;
    let made = made.map_err(|why| kinds.push(Funding::FormUnreadable { why: why.to_string() })).ok();
    let bytes = made.filter(|_| !refused);
    let problems = kinds.into_iter().map(|kind| Problem::new(kind, Place::file(path))).collect();
    Filled { bytes, problems }
}
