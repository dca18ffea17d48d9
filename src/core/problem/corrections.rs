//! What is wrong with a folder as corrections: what stands where, what is wrong with it and what to do, for whoever keeps the
//! book; and how an answer is read back.

use crate::{
    problem::{
        Alike, Answer, Evidence, Grade, Kind, Plausibility, Problem, Reading, Records, Told, alike, key,
        quoted, rows,
    },
    source::sha256,
};

/// One correction: what stands where, what is wrong with it and what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Correction {
    /// How much it matters.
    pub grade: Grade,
    /// The file.
    pub file: String,
    /// Its rows, such as `2-97, 99`; nothing where the whole file is meant.
    pub rows: String,
    /// The column's heading or the setting's name, nothing where there is none.
    pub column: String,
    /// What was read there, nothing where it is not to be shown.
    pub read: String,
    /// What is wrong with it.
    pub wrong: String,
    /// What was most likely meant, where that is known.
    pub likely: String,
    /// What to do about it.
    pub to_do: String,
    /// What its answer can be.
    pub asked: Asked,
    /// What tells it from all others of the folder as it is.
    pub mark: String,
}

/// What an answer to a correction can be, and what becomes of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Asked {
    /// Answers to choose from.
    pub choices: Vec<Choice>,
    /// What any other answer stands for.
    pub other: Other,
    /// What the answer is the name of, where it must be one that is known: species, area, plot or line of the budget.
    pub names: Option<&'static str>,
}

/// An answer to choose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// How it is called.
    pub label: String,
    /// What becomes of it.
    pub so: Becomes,
}

/// What becomes of an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Becomes {
    /// Lines of `project.toml`.
    Lines(String),
    /// What should stand in the cells.
    Cells(Vec<CellCorrection>),
}

/// One cell and what should stand in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CellCorrection {
    /// The file; of one of several sheets of a workbook with its name behind.
    pub file: String,
    /// The row, as a spreadsheet counts.
    pub row: u32,
    /// The heading of its column.
    pub column: String,
    /// What stands there.
    pub read: String,
    /// What should.
    pub correct: String,
}

/// What an answer stands for that is none of the choices.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Other {
    /// Nothing: the choices are all there is, or it can only be put right in the file itself.
    Nothing,
    /// The name, as our files have it, of what is called otherwise here.
    Name {
        /// Area, plot or species.
        what: &'static str,
    },
    /// What should stand in the cells.
    Cells(Vec<CellCorrection>),
}

/// The sheet of the questions, in a workbook of corrections.
pub const QUESTIONS: &str = "questions";

/// The column of the answers in it.
pub const ANSWER: &str = "answer";

/// The column of the folder that the question is about.
pub const MADE_FOR: &str = "made for";

/// The column of what tells a question from all others.
pub const MARK: &str = "mark";

/// How an empty cell is answered.
pub const EMPTY: &str = "(empty)";

/// How a row that is no record is answered, and what its correction says.
pub const LEAVE_OUT: &str = "(leave the row out)";

/// What stands for a column where the whole row is meant.
pub const WHOLE_ROW: &str = "*";

impl CellCorrection {
    /// What it corrects, in words.
    #[must_use]
    pub fn place(&self) -> String {
        match self.column.as_str() {
            WHOLE_ROW => format!("{}:{}", self.file, self.row),
            column => format!("{}:{} ({column})", self.file, self.row),
        }
    }
}

/// A whole row in one text, as its correction has it.
pub fn whole_row<'a>(cells: impl Iterator<Item = &'a str>) -> String {
    let cells: Vec<&str> = cells.map(str::trim).collect();
    cells.join(" | ").trim_end_matches([' ', '|']).to_owned()
}

impl Correction {
    /// Whether there is any way to answer it.
    #[must_use]
    pub fn can_be_answered(&self) -> bool {
        !self.asked.choices.is_empty() || self.asked.other != Other::Nothing
    }

    /// What becomes of `answer`; `None` where it can't be one.
    #[must_use]
    pub fn answered(&self, answer: &str) -> Option<Becomes> {
        let answer = answer.trim();
        if let Some(choice) = self.asked.choices.iter().find(|choice| choice.label == answer) {
            return Some(choice.so.clone());
        }
        match &self.asked.other {
            Other::Nothing => None,
            Other::Name { what } => {
                Some(Becomes::Lines(format!("[names.{what}]\n{} = {}", quoted(&self.read), quoted(answer))))
            }
            Other::Cells(cells) => Some(Becomes::Cells(corrected(cells, answer))),
        }
    }
}

/// The cells with `answer` in each.
fn corrected(cells: &[CellCorrection], answer: &str) -> Vec<CellCorrection> {
    let correct = if answer == EMPTY { String::new() } else { answer.to_owned() };
    cells.iter().map(|cell| CellCorrection { correct: correct.clone(), ..cell.clone() }).collect()
}

/// The corrections that `problems` ask for, errors first. The same thing in several rows is one; remarks ask for none.
#[must_use]
pub fn corrections(problems: &[Problem]) -> Vec<Correction> {
    let asked = alike(problems).into_iter().filter(|alike| alike.grade != Grade::Remark);
    asked.flat_map(|Alike { told, .. }| told).flat_map(|told| each(&told)).collect()
}

/// One correction for every file and reading that the sentence is about.
fn each(told: &Told<'_>) -> Vec<Correction> {
    let mut parts: Vec<Vec<&Problem>> = Vec::new();
    for problem in &told.problems {
        let place = &problem.place;
        let same = |part: &&mut Vec<&Problem>| {
            let first = &part[0].place;
            place.row.is_some() && first.path == place.path && first.read() == place.read()
        };
        match parts.iter_mut().find(same) {
            Some(part) => part.push(problem),
            None => parts.push(vec![problem]),
        }
    }
    let correction = |part: Vec<&Problem>| {
        let place = &part[0].place;
        let owned = |text: Option<&str>| plain(text.unwrap_or_default());
        let read = owned(place.read());
        let mark = [&told.message.code, &*place.path, place.column.as_deref().unwrap_or_default(), &read];
        Correction {
            grade: told.message.grade,
            file: plain(&place.path),
            rows: rows(part.iter().copied()).unwrap_or_default(),
            column: owned(place.column.as_deref()),
            wrong: plain(&told.message.sentence),
            likely: owned(told.message.nearest.as_deref()),
            to_do: owned(told.message.help.as_deref()),
            asked: asked(told, &part, &read),
            mark: sha256([mark.as_slice(), &[&told.message.sentence]].concat().join("\n").as_bytes())[..16]
                .to_owned(),
            read,
        }
    };
    parts.into_iter().map(correction).collect()
}

/// What the answer to the problems of a `part`, in whose place `read` stands, can be.
fn asked(told: &Told<'_>, part: &[&Problem], read: &str) -> Asked {
    let mut asked = of_kind(told, part, read);
    asked.names = names_of(&part[0].kind);
    let rows = if is_of_many(&part[0].kind) { Vec::new() } else { whole_rows(part) };
    if !rows.is_empty() {
        asked.choices.push(Choice { label: LEAVE_OUT.to_owned(), so: Becomes::Cells(rows) });
    }
    asked
}

/// Whether the problem stands in one row for many, or is none that a row could be left out for.
fn is_of_many(kind: &Kind) -> bool {
    matches!(
        kind,
        Kind::Reading(
            Reading::TakenForEmpty { .. }
                | Reading::TakenFor { .. }
                | Reading::SizeOfSides { .. }
                | Reading::Dittos { .. }
                | Reading::DaysCounted { .. }
                | Reading::MergedCells { .. }
                | Reading::ColumnMisread { .. }
                | Reading::TotalsRow { .. }
                | Reading::CellCorrected { .. }
                | Reading::RowTakenOut { .. }
                | Reading::DateOrderLikely { .. }
        ) | Kind::Records(
            Records::CommonName { .. }
                | Records::BlankOrNone { .. }
                | Records::StatusEmpty { .. }
                | Records::TicksForCounts { .. }
        )
    )
}

/// What the answer to a problem must be the name of.
fn names_of(kind: &Kind) -> Option<&'static str> {
    match kind {
        Kind::Records(
            Records::SpeciesUnknown { .. }
            | Records::SpeciesLikely { .. }
            | Records::CommonNameOfSeveral { .. },
        ) => Some("species"),
        Kind::Records(Records::IdUnknown { what: what @ ("area" | "plot"), .. }) => Some(what),
        Kind::Evidence(Evidence::NoBudgetLine { .. }) => Some("line"),
        Kind::Reading(Reading::CellEmpty { column, .. }) => {
            ["species", "area", "plot", "line"].into_iter().find(|name| name == column)
        }
        _ => None,
    }
}

fn of_kind(told: &Told<'_>, part: &[&Problem], read: &str) -> Asked {
    let cells = cells(part);
    let in_cells = if cells.is_empty() { Other::Nothing } else { Other::Cells(cells.clone()) };
    let written = |word: &String| Choice { label: word.clone(), so: Becomes::Cells(corrected(&cells, word)) };
    match &part[0].kind {
        Kind::Reading(Reading::WordsUnknown { table, ours, known, .. }) => {
            let line = |word: &String| {
                format!("[tables.{table}]\nvalues = {{ {ours} = {{ {} = {} }} }}", key(read), quoted(word))
            };
            let choice = |word: &String| Choice { label: word.clone(), so: Becomes::Lines(line(word)) };
            Asked { choices: known.iter().map(choice).collect(), other: Other::Nothing, names: None }
        }
        Kind::Reading(Reading::WordUnknown { known, .. }) if !cells.is_empty() => {
            Asked { choices: known.iter().map(written).collect(), other: in_cells, names: None }
        }
        Kind::Records(
            Records::SpeciesUnknown { .. }
            | Records::SpeciesLikely { .. }
            | Records::CommonNameOfSeveral { .. },
        ) => Asked { choices: named(told), other: Other::Name { what: "species" }, names: None },
        Kind::Records(Records::IdUnknown { what: what @ ("area" | "plot"), .. }) => {
            Asked { choices: named(told), other: Other::Name { what }, names: None }
        }
        Kind::Plausibility(Plausibility::DaysAndMonthsSwapped { .. }) => {
            Asked { choices: swapped(&cells).into_iter().collect(), other: in_cells, names: None }
        }
        Kind::Reading(Reading::DateAmbiguous { .. }) => {
            Asked { choices: choices(&told.message.answers), other: in_cells, names: None }
        }
        Kind::Reading(Reading::CellEmpty { .. } | Reading::NumberAmbiguous { .. }) => {
            // What is left blank to write is no answer to choose.
            let mut choices = choices(&told.message.answers);
            choices.retain(|choice| !choice.label.contains('…'));
            Asked { choices, other: in_cells, names: None }
        }
        _ if is_of_many(&part[0].kind) || !told.message.answers.is_empty() => {
            Asked { choices: choices(&told.message.answers), other: Other::Nothing, names: None }
        }
        _ => Asked {
            choices: told.message.nearest.iter().filter(|_| !cells.is_empty()).map(written).collect(),
            other: in_cells,
            names: None,
        },
    }
}

/// Day and month of each cell changed over; `None` where one of them is written so that they can't be.
fn swapped(cells: &[CellCorrection]) -> Option<Choice> {
    let turned = |cell: &CellCorrection| {
        let numbers: Vec<&str> = cell.read.split(['-', '/', '.']).map(str::trim).collect();
        let turned = match numbers.as_slice() {
            [year, month, day] if year.len() == 4 => format!("{year}-{day}-{month}"),
            [one, other, year] if year.len() == 4 => format!("{other}/{one}/{year}"),
            _ => return None,
        };
        let plain = turned.chars().all(|letter| letter.is_ascii_digit() || "-/".contains(letter));
        plain.then(|| CellCorrection { correct: turned, ..cell.clone() })
    };
    let turned: Vec<CellCorrection> = cells.iter().map(turned).collect::<Option<_>>()?;
    let first = turned.first()?;
    let label = match turned.len() {
        1 => format!("yes, it is {}", first.correct),
        rows => format!("yes, in all {rows} rows: {} for {} and so on", first.correct, first.read),
    };
    Some(Choice { label, so: Becomes::Cells(turned) })
}

/// The names that are proposed, by themselves.
fn named(told: &Told<'_>) -> Vec<Choice> {
    let name = |answer: &Answer| {
        let table: toml::Table = answer.lines.parse().ok()?;
        let value = table.values().next()?.as_table()?.values().next()?.as_table()?.values().next()?;
        Some(Choice { label: value.as_str()?.to_owned(), so: Becomes::Lines(answer.lines.clone()) })
    };
    told.message.answers.iter().filter_map(name).collect()
}

/// Each answer by what it means, or by its settings where these speak for themselves.
fn choices(answers: &[Answer]) -> Vec<Choice> {
    let choice = |answer: &Answer| {
        let settings = answer.lines.split_once('\n').map_or(&*answer.lines, |(_, settings)| settings);
        let label = if answer.means.is_empty() { settings } else { &answer.means };
        Choice { label: plain(label), so: Becomes::Lines(answer.lines.clone()) }
    };
    answers.iter().map(choice).collect()
}

/// The cells of tables that the problems are about: those that show a row under its headings.
fn cells(part: &[&Problem]) -> Vec<CellCorrection> {
    let cell = |problem: &&Problem| {
        let place = &problem.place;
        let excerpt = place.excerpt.as_ref().filter(|excerpt| !excerpt.header.is_empty())?;
        // A row that stands twice, and the like, is no matter of one cell.
        let column = place.column.clone().filter(|column| !column.is_empty())?;
        // What the mapping made stands in no file.
        if excerpt.made {
            return None;
        }
        Some(CellCorrection {
            file: place.path.to_string(),
            row: place.row?,
            column,
            read: excerpt.cells.get(excerpt.at).map(|cell| cell.trim().to_owned()).unwrap_or_default(),
            correct: String::new(),
        })
    };
    part.iter().filter_map(cell).collect()
}

/// The rows of tables that the problems are about, to be left out.
fn whole_rows(part: &[&Problem]) -> Vec<CellCorrection> {
    let row = |problem: &&Problem| {
        let place = &problem.place;
        let excerpt = place.excerpt.as_ref().filter(|excerpt| !excerpt.header.is_empty())?;
        Some(CellCorrection {
            file: place.path.to_string(),
            row: place.row?,
            column: WHOLE_ROW.to_owned(),
            read: whole_row(excerpt.cells.iter().map(String::as_str)),
            correct: LEAVE_OUT.to_owned(),
        })
    };
    part.iter().filter_map(row).collect()
}

/// One line without control characters.
fn plain(text: &str) -> String {
    text.chars().map(|letter| if letter.is_control() { ' ' } else { letter }).collect()
}
