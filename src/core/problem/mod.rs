//! What is wrong with a project folder: the one problem type, its grade, its place, its sentence and what to do about it.
//!
//! Each family of problems is an enum that holds the data; only `said` turns it into words, so that every sentence of one
//! kind reads alike and a test can list them all.

mod alike;
mod carried;
mod corrections;
mod evidence;
mod ground;
mod reading;
mod records;
mod settings;
mod terrain;

use std::{borrow::Cow, fmt, sync::Arc};

use crate::source::Row;

pub use alike::{Alike, TOLD, Told, alike, rows};
pub use carried::Carried;
pub use corrections::{Correction, corrections};
pub use evidence::Evidence;
pub use ground::Ground;
pub use reading::Reading;
pub use records::Records;
pub use settings::Settings;
pub use terrain::Terrain;

/// How much a problem matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Grade {
    /// Stops the build; nothing is written.
    Error,
    /// The build goes on; printed in the report's data notes.
    Doubt,
    /// Stays on the console.
    Remark,
}

impl Grade {
    /// The grade as a word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Grade::Error => "error",
            Grade::Doubt => "doubt",
            Grade::Remark => "remark",
        }
    }
}

/// A problem in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// How much it matters.
    pub grade: Grade,
    /// The stable name of this kind of problem.
    pub code: Cow<'static, str>,
    /// One sentence: what was read and what is wrong with it.
    pub sentence: String,
    /// What to do about it.
    pub help: Option<String>,
    /// What would most likely have been right, where that is known.
    pub nearest: Option<String>,
}

/// An error that stops the build.
fn error(code: &'static str, sentence: String) -> Said {
    Said { grade: Grade::Error, code: code.into(), sentence, help: None, nearest: None }
}

/// A doubt that is printed in the report's data notes.
fn doubt(code: &'static str, sentence: String) -> Said {
    Said { grade: Grade::Doubt, code: code.into(), sentence, help: None, nearest: None }
}

/// A remark for the console.
fn remark(code: &'static str, sentence: String) -> Said {
    Said { grade: Grade::Remark, code: code.into(), sentence, help: None, nearest: None }
}

/// A distance as it is said: metres to ten kilometres, beyond them kilometres.
fn far(metres: f64) -> String {
    if metres < 10_000.0 { format!("{metres:.0} m") } else { format!("{:.0} km", metres / 1_000.0) }
}

impl Said {
    /// Its name as the program's own word, for tests; nothing for what was carried.
    #[cfg(test)]
    pub(crate) fn own_code(&self) -> &'static str {
        match self.code {
            Cow::Borrowed(code) => code,
            Cow::Owned(_) => "",
        }
    }

    fn help(mut self, help: impl Into<String>) -> Said {
        self.help = Some(help.into());
        self
    }

    /// Help that offers the nearest right answer, where there is one, before `otherwise`.
    fn nearest(self, nearest: Option<&String>, otherwise: &str) -> Said {
        match nearest {
            Some(right) => {
                Said { nearest: Some(right.clone()), ..self.help(format!("did you mean `{right}`?")) }
            }
            None => self.help(otherwise),
        }
    }
}

/// What is wrong, with the data that its sentence needs.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// Files, tables and cells that could not be read as they should.
    Reading(Reading),
    /// `project.toml`.
    Settings(Settings),
    /// Plantings, surveys and works that contradict themselves or one another.
    Records(Records),
    /// Boundaries, features and positions.
    Ground(Ground),
    /// Photos, receipts and the words of the report.
    Evidence(Evidence),
    /// The terrain model.
    Terrain(Terrain),
    /// What an earlier reading of the folder said.
    Carried(Carried),
}

impl Kind {
    /// The problem in words.
    #[must_use]
    pub fn said(&self) -> Said {
        match self {
            Kind::Reading(kind) => kind.said(),
            Kind::Settings(kind) => kind.said(),
            Kind::Records(kind) => kind.said(),
            Kind::Ground(kind) => kind.said(),
            Kind::Evidence(kind) => kind.said(),
            Kind::Terrain(kind) => kind.said(),
            Kind::Carried(kind) => kind.said(),
        }
    }
}

macro_rules! kind_from {
    ($($family:ident),*) => { $(impl From<$family> for Kind {
        fn from(kind: $family) -> Kind { Kind::$family(kind) }
    })* };
}
kind_from!(Reading, Settings, Records, Ground, Evidence, Terrain, Carried);

/// The lines around a problem, so that a message can point at the cell or the setting.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Excerpt {
    /// The header's cells for a table, empty for a text file.
    pub header: Vec<String>,
    /// The cells of the row; for a text file the whole line as one cell.
    pub cells: Vec<String>,
    /// Which of `cells` is meant.
    pub at: usize,
}

/// Where a problem is.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Place {
    /// Path inside the project folder, with `/` between its parts.
    pub path: Arc<str>,
    /// Row of a table as a spreadsheet counts, line of a text file, number of a feature from 1.
    pub row: Option<u32>,
    /// The column's heading, or the setting's dotted name.
    pub column: Option<String>,
    /// The lines to show.
    pub excerpt: Option<Excerpt>,
}

impl Place {
    /// A whole file.
    #[must_use]
    pub fn file(path: impl Into<Arc<str>>) -> Place {
        Place { path: path.into(), ..Place::default() }
    }

    /// A row of a file.
    #[must_use]
    pub fn row(row: &Row) -> Place {
        Place { path: Arc::clone(&row.file), row: Some(row.row), ..Place::default() }
    }

    /// What stands there: the cell, or the line of a text file; `None` where nothing is to be shown.
    #[must_use]
    pub fn read(&self) -> Option<&str> {
        self.excerpt.as_ref().and_then(|excerpt| excerpt.cells.get(excerpt.at)).map(String::as_str)
    }

    /// The same place, at a column.
    #[must_use]
    pub fn column(mut self, column: impl Into<String>) -> Place {
        self.column = Some(column.into());
        self
    }
}

impl fmt::Display for Place {
    /// `plots.csv:7 (longitude)`; parts that are not known are left out.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.path)?;
        if let Some(row) = self.row {
            write!(f, ":{row}")?;
        }
        if let Some(column) = &self.column {
            write!(f, " ({column})")?;
        }
        Ok(())
    }
}

/// One thing that is wrong with the folder.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// What is wrong.
    pub kind: Kind,
    /// Where.
    pub place: Place,
}

impl Problem {
    /// A problem of `kind` at `place`.
    pub fn new(kind: impl Into<Kind>, place: Place) -> Problem {
        Problem { kind: kind.into(), place }
    }

    /// The problem's grade.
    #[must_use]
    pub fn grade(&self) -> Grade {
        self.kind.said().grade
    }
}

/// Puts problems in the order in which they are listed: errors first, then by file, row, column, name and sentence. Each
/// sentence is made once and not once a comparison.
pub fn list(problems: &mut [Problem]) {
    problems.sort_by_cached_key(listing_key);
}

/// The doubts among `problems`, in the order in which they are listed.
#[must_use]
pub fn doubts(problems: &[Problem]) -> Vec<&Problem> {
    let mut doubts: Vec<&Problem> =
        problems.iter().filter(|problem| problem.grade() == Grade::Doubt).collect();
    doubts.sort_by_cached_key(|problem| listing_key(problem));
    doubts
}

fn listing_key(problem: &Problem) -> impl Ord + use<> {
    let (said, place) = (problem.kind.said(), &problem.place);
    (said.grade, Arc::clone(&place.path), place.row, place.column.clone(), said.code, said.sentence)
}
