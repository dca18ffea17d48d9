//! What is wrong with a project folder: the one problem type, its grade, its place, its sentence and what to do about it.
//!
//! Each family of problems is an enum that holds the data. Sentence, grade, code and help of a kind stand together where it is
//! declared, so that every sentence reads alike and a test can list them all.

mod agreement;
mod alike;
mod answer;
mod carried;
mod corrections;
mod evidence;
mod funding;
mod ground;
mod plausibility;
mod reading;
mod reading_help;
mod records;
mod second_reading;
mod settings;
mod slips;
mod surveyed;
mod tables_told;
mod terrain;

use std::{borrow::Cow, fmt, sync::Arc};

use crate::source::Row;

pub use agreement::Agreement;
pub use alike::{Alike, TOLD, Told, alike, rows};
pub use answer::{Answer, key, quoted};
pub use carried::Carried;
pub use corrections::{
    ANSWER, Asked, Becomes, CellCorrection, Choice, Correction, EMPTY, LEAVE_OUT, MADE_FOR, MARK, Other,
    QUESTIONS, WHOLE_ROW, corrections, whole_row,
};
pub use evidence::Evidence;
pub use funding::Funding;
pub use ground::Ground;
pub use plausibility::Plausibility;
pub use reading::{NotUsed, Reading};
pub use records::Records;
pub use second_reading::{Change, Effect, Measured, SecondReading};
pub use settings::Settings;
pub use slips::Slips;
pub use surveyed::Surveyed;
pub use terrain::Terrain;

/// How much a problem matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Grade {
    /// Stops the build; nothing is written.
    Error,
    /// The build goes on; printed in the data notes of the workings.
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
pub struct Message {
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
    /// The ways in which `project.toml` can answer it, the likeliest first; none where it can't.
    pub answers: Vec<Answer>,
    /// Whether none of the answers is likelier than another.
    pub open: bool,
    /// What is said before the answers.
    lead: String,
}

impl Message {
    /// What to do about it, each answer as `placed` has it, where that puts it elsewhere than at the end of the settings.
    #[must_use]
    pub fn help_placed(&self, placed: &dyn Fn(&Answer) -> Option<String>) -> Option<String> {
        if self.answers.is_empty() {
            self.help.clone()
        } else {
            Some(answer::told(&self.lead, &self.answers, placed))
        }
    }
}

/// What to do about a problem, with what would most likely have been right.
struct Help {
    words: String,
    nearest: Option<String>,
    answers: Vec<Answer>,
    /// Whether none of the answers is likelier than another.
    open: bool,
    /// What is said before the answers.
    lead: String,
}

impl<S: Into<String>> From<S> for Help {
    fn from(words: S) -> Help {
        Help { words: words.into(), nearest: None, answers: Vec::new(), open: false, lead: String::new() }
    }
}

/// Help that offers the nearest right answer, where there is one, before `otherwise`.
fn did_you_mean(nearest: &Option<String>, otherwise: &str) -> Help {
    match nearest {
        Some(right) => Help { nearest: nearest.clone(), ..Help::from(format!("did you mean `{right}`?")) },
        None => otherwise.into(),
    }
}

/// How many there are, in words that fit one or more of them.
fn counted(count: usize, one: &str, more: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { more })
}

/// A distance as it is said: metres to ten kilometres, beyond them kilometres.
fn far(metres: f64) -> String {
    if metres < 10_000.0 { format!("{metres:.0} m") } else { format!("{:.0} km", metres / 1_000.0) }
}

/// A family of kinds, each declared once: its sentence (as `thiserror` reads it), its grade and code, the data that the sentence
/// needs, and after `=>` what to do about it.
macro_rules! kinds {
    ($(#[$about:meta])* $family:ident { $(
        $(#[$says:meta])*
        $grade:ident $code:literal $kind:ident $({ $($field:ident: $of:ty),* })? $(=> $help:expr)?;
    )* }) => {
        $(#[$about])*
        #[derive(Debug, Clone, PartialEq, thiserror::Error)]
        #[allow(missing_docs, reason = "the fields are the words of the sentence")]
        pub enum $family { $($(#[$says])* $kind $({ $($field: $of),* })?),* }

        impl $family {
            /// The code of every kind of the family.
            pub const CODES: &[&str] = &[$($code),*];

            /// The stable name of this kind of problem.
            #[must_use]
            pub const fn code(&self) -> &'static str {
                match self { $($family::$kind { .. } => $code),* }
            }

            /// How much it matters.
            #[must_use]
            pub const fn grade(&self) -> $crate::problem::Grade {
                match self { $($family::$kind { .. } => $crate::problem::Grade::$grade),* }
            }

            #[allow(unused_variables, reason = "help seldom needs all that the sentence does")]
            pub(in crate::problem) fn help(&self) -> Option<$crate::problem::Help> {
                match self {
                    $($family::$kind $({ $($field),* })? => kinds!(@help $($help)?)),*
                }
            }
        }
    };
    (@help) => { None };
    (@help $help:expr) => { Some($help.into()) };
}
use kinds;

/// What is wrong, with the data that its sentence needs. Its `Display` is the sentence.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error(transparent)]
pub enum Kind {
    /// Files, tables and cells that could not be read as they should.
    Reading(#[from] Reading),
    /// `project.toml`.
    Settings(#[from] Settings),
    /// Plantings, surveys and works that contradict themselves or one another.
    Records(#[from] Records),
    /// Boundaries, features and positions.
    Ground(#[from] Ground),
    /// Photos, receipts and the words of the report.
    Evidence(#[from] Evidence),
    /// Who pays for what.
    Funding(#[from] Funding),
    /// The terrain model.
    Terrain(#[from] Terrain),
    /// Values that no planting has, and rows that could mean something else.
    Plausibility(#[from] Plausibility),
    /// What agrees with the rest of the folder if it is read in another way.
    Slips(#[from] Slips),
    /// Readings that stand apart from the rest of their table.
    Surveyed(#[from] Surveyed),
    /// What two tables say of the same thing.
    Agreement(#[from] Agreement),
    /// What an earlier reading of the folder said.
    Carried(#[from] Carried),
}

/// Does the same with the kind of whichever family it is.
macro_rules! of_family {
    ($kind:expr, $of:ident => $does:expr) => {
        match $kind {
            Kind::Reading($of) => $does,
            Kind::Settings($of) => $does,
            Kind::Records($of) => $does,
            Kind::Ground($of) => $does,
            Kind::Evidence($of) => $does,
            Kind::Funding($of) => $does,
            Kind::Terrain($of) => $does,
            Kind::Plausibility($of) => $does,
            Kind::Slips($of) => $does,
            Kind::Surveyed($of) => $does,
            Kind::Agreement($of) => $does,
            Kind::Carried($of) => $does,
        }
    };
}

impl Kind {
    /// The codes of all families.
    pub fn codes() -> impl Iterator<Item = &'static str> {
        let families = [
            Reading::CODES,
            Settings::CODES,
            Records::CODES,
            Ground::CODES,
            Evidence::CODES,
            Funding::CODES,
            Terrain::CODES,
            Plausibility::CODES,
            Slips::CODES,
            Surveyed::CODES,
            Agreement::CODES,
        ];
        families.into_iter().flatten().copied()
    }

    /// The stable name of this kind of problem.
    #[must_use]
    pub fn code(&self) -> Cow<'static, str> {
        of_family!(self, of => of.code().into())
    }

    /// The code as the program's own word, for tests; nothing for what was carried.
    #[cfg(test)]
    pub(crate) fn own_code(&self) -> &'static str {
        match self.code() {
            Cow::Borrowed(code) => code,
            Cow::Owned(_) => "",
        }
    }

    /// How much it matters.
    #[must_use]
    pub fn grade(&self) -> Grade {
        of_family!(self, of => of.grade())
    }

    /// The problem in words.
    #[must_use]
    pub fn message(&self) -> Message {
        let (grade, code, sentence) = (self.grade(), self.code(), self.to_string());
        match of_family!(self, of => of.help()) {
            None => Message {
                grade,
                code,
                sentence,
                help: None,
                nearest: None,
                answers: Vec::new(),
                open: false,
                lead: String::new(),
            },
            Some(Help { words, nearest, answers, open, lead }) => {
                Message { grade, code, sentence, help: Some(words), nearest, answers, open, lead }
            }
        }
    }
}

/// The lines around a problem, so that a message can point at the cell or the setting.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Excerpt {
    /// The header's cells for a table, empty for a text file.
    pub header: Vec<String>,
    /// The cells of the row; for a text file the whole line as one cell.
    pub cells: Vec<String>,
    /// Which of `cells` is meant.
    pub at: usize,
    /// Whether the mapping made it, so that it stands so in no file.
    pub made: bool,
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
    pub excerpt: Option<Box<Excerpt>>,
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
    /// What else the rows could say, where that is known.
    pub other: Option<Box<SecondReading>>,
    /// Whether it shows only once the lines are in that other problems propose.
    pub ahead: bool,
}

impl Problem {
    /// A problem of `kind` at `place`.
    pub fn new(kind: impl Into<Kind>, place: Place) -> Problem {
        Problem { kind: kind.into(), place, other: None, ahead: false }
    }

    /// The same of rows that could as well say something else.
    #[must_use]
    pub fn or(self, other: SecondReading) -> Problem {
        Problem { other: Some(Box::new(other)), ..self }
    }

    /// The problem in words, with what the other reading of its rows would change.
    #[must_use]
    pub fn message(&self) -> Message {
        let mut message = self.kind.message();
        if let Some(other) = &self.other {
            message.sentence.push_str(&other.to_string());
        }
        message
    }

    /// Whether the other says the same of the same place, whatever its numbers are.
    #[must_use]
    pub fn is_like(&self, other: &Problem) -> bool {
        let about = |problem: &Problem| {
            let place = &problem.place;
            (problem.kind.code(), Arc::clone(&place.path), place.row, place.column.clone())
        };
        about(self) == about(other)
    }

    /// The rows of which it was told that day and month are swapped.
    pub fn swapped_rows(problems: &[Problem]) -> std::collections::BTreeSet<Row> {
        let is_swapped = |problem: &&Problem| {
            matches!(problem.kind, Kind::Plausibility(Plausibility::DaysAndMonthsSwapped { .. }))
        };
        let row = |problem: &Problem| Some(Row { file: problem.place.path.clone(), row: problem.place.row? });
        problems.iter().filter(is_swapped).filter_map(row).collect()
    }

    /// The problem's grade.
    #[must_use]
    pub fn grade(&self) -> Grade {
        self.kind.grade()
    }
}

/// Errors that leave a whole file unread, or a whole column: what else is said of it may come of them.
const FIRST: [&str; 14] = [
    "malformed",
    "key-missing",
    "file-missing",
    "file-empty",
    "not-text",
    "quote-unclosed",
    "no-header",
    "sheet-missing",
    "sheet-unclear",
    "column-missing",
    "column-twice",
    "columns-alike",
    "column-misread",
    "sign-unclear",
];

/// What is left of the example that `new` writes: it is told after everything that is the user's own.
const LAST: [&str; 1] = ["starter-row"];

/// Puts problems in the order in which they are listed: errors first, those that stop everything before others, then by file,
/// row, column, name and sentence. Each sentence is made once and not once a comparison.
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
    let (message, place) = (problem.message(), &problem.place);
    let is = |codes: &[&str]| codes.contains(&message.code.as_ref());
    let later = if is(&FIRST) { 0 } else { 1 + u8::from(is(&LAST)) };
    let place = (Arc::clone(&place.path), place.row, place.column.clone());
    // What only shows later stands last, so that it is read after what it rests on.
    (problem.ahead, message.grade, later, place, message.code, message.sentence)
}
