//! `check --answers` and `check --take-back`: answers to what a check asks, written as settings and as corrections of cells, and
//! taken back.

use std::path::Path;

use crate::commands::{CommandError, DIFFERS, Outcome, USAGE, check::check};
use hillfolio_core::{
    intake::{self, Answered, CORRECTIONS, Folder, SETTINGS, with_answers, with_corrections},
    problem::{self, Becomes, CellCorrection, Correction, Grade, Kind, Problem, Reading, WHOLE_ROW},
};
use hillfolio_documents::{
    pack::{self, Change},
    typeset,
};

/// What answers came to.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Written {
    /// Questions that were answered by settings.
    pub settings: usize,
    /// Cells that were corrected.
    pub cells: usize,
    /// Rows that were left out.
    pub rows: usize,
    /// Answers to questions that are not open any more, in words.
    pub closed: Vec<String>,
}

/// Why answers were not written; nothing is then.
#[derive(Debug, thiserror::Error)]
pub enum AnswerError {
    /// The folder, the list or the settings can't be read.
    #[error(transparent)]
    Command(#[from] CommandError),
    /// Some answers can't be ones: each in words.
    #[error("{}", .0.join("\n"))]
    NoAnswers(Vec<String>),
}

pub(super) fn run(folder: &Path, list: &Path, quiet: bool) -> Outcome {
    match answer(folder, list) {
        Ok(written) => {
            let left = check(folder).map_or_else(|problems| problems, |intake| intake.problems);
            let open = problem::corrections(&left).iter().filter(|one| one.can_be_answered()).count();
            let Written { settings, cells, rows, closed } = written;
            let corrected: Vec<String> = [(cells, "cell"), (rows, "row")]
                .into_iter()
                .filter(|(count, _)| *count > 0)
                .map(|(count, one)| counted(count, one))
                .collect();
            let parts = [
                (if settings > 0 { counted(settings, "answer") } else { String::new() }, SETTINGS),
                (corrected.join(" and "), CORRECTIONS),
            ];
            let written = parts.iter().filter(|(what, _)| !what.is_empty()).enumerate();
            let written = written.map(|(at, (what, file))| {
                format!("{what}{} into {file}", if at == 0 { " written" } else { "" })
            });
            let done: Vec<String> = written.collect();
            let done = if done.is_empty() { "nothing was written".to_owned() } else { done.join(", ") };
            let errors =
                left.iter().filter(|problem| problem.grade() == Grade::Error && !problem.ahead).count();
            let errors = match errors {
                0 => String::new(),
                errors => format!(
                    ", and {} what `hillfolio check {}` says",
                    if errors == 1 {
                        "1 error stands until somebody does".to_owned()
                    } else {
                        format!("{errors} errors stand until somebody does")
                    },
                    folder.display()
                ),
            };
            let told = format!(
                "{done}; {} open{errors}\n\
                 hillfolio check {} --take-back gives both files back as they were\n",
                match open {
                    0 => "no question is".to_owned(),
                    1 => "1 question is".to_owned(),
                    _ => format!("{open} questions are"),
                },
                folder.display()
            );
            let err = closed.iter().map(|line| format!("{line}\n")).collect();
            Outcome { out: if quiet { String::new() } else { told }, err, code: 0 }
        }
        Err(AnswerError::Command(CommandError::Folder(problems))) => {
            CommandError::Folder(problems).not_read()
        }
        Err(AnswerError::Command(failure)) => failure.not_written(),
        Err(refused) => {
            Outcome { err: format!("nothing was written:\n{refused}\n"), code: USAGE, ..Outcome::default() }
        }
    }
}

pub(super) fn run_back(folder: &Path, quiet: bool) -> Outcome {
    match pack::take_back(folder) {
        Ok(_) if quiet => Outcome::default(),
        Ok(names) => Outcome::done(format!("as before the last answers: {}\n", names.join(", "))),
        Err(failure @ pack::PackError::NothingToTakeBack(_)) => {
            Outcome { err: format!("{failure}\n"), code: DIFFERS, ..Outcome::default() }
        }
        Err(failure) => Outcome::not_written(&failure, failure.help()),
    }
}

/// An answer that was given, and what becomes of it.
struct Given<'a> {
    row: u32,
    answer: &'a str,
    becomes: Becomes,
}

/// Writes the answers that stand in the workbook `list` into `folder`.
///
/// # Errors
/// [`AnswerError`]; nothing is written then.
pub fn answer(folder: &Path, list: &Path) -> Result<Written, AnswerError> {
    let answers = intake::answers(list).map_err(CommandError::from)?;
    let open = Folder::open(folder).map_err(CommandError::from)?;
    of_another(&open, &answers)?;
    let problems = check(folder).map_or_else(|problems| problems, |intake| intake.problems);
    let corrections = problem::corrections(&problems);
    let (mut given, mut written, mut refused) = (Vec::new(), Written::default(), Vec::new());
    for Answered { mark, row, answer, .. } in answers.iter().filter(|given| !given.answer.is_empty()) {
        match corrections.iter().find(|one| one.mark == *mark) {
            None => written.closed.push(format!("row {row}: the question is not open any more; left out")),
            Some(asked) => match asked.answered(answer) {
                Some(becomes) => given.push(Given { row: *row, answer, becomes }),
                None => refused.push(unfit(*row, answer, asked)),
            },
        }
    }
    if refused.is_empty() {
        refused = tried(&open, &problems, &mut given)?;
    }
    if !refused.is_empty() {
        return Err(AnswerError::NoAnswers(refused));
    }
    for given in &given {
        match &given.becomes {
            Becomes::Lines(_) => written.settings += 1,
            Becomes::Cells(cells) => {
                let rows = cells.iter().filter(|cell| cell.column == WHOLE_ROW).count();
                written.rows += rows;
                written.cells += cells.len() - rows;
            }
        }
    }
    let (settings, cells) = texts(&open, &given)?;
    let mut changes = Vec::new();
    for (name, after) in [(SETTINGS, settings), (CORRECTIONS, cells)] {
        let before = open.text(name)?;
        changes.extend(after.filter(|after| before.as_ref() != Some(after)).map(|after| Change {
            name,
            before,
            after: Some(after),
        }));
    }
    if !changes.is_empty() {
        pack::write_answers(open.root(), &changes).map_err(CommandError::from)?;
    }
    Ok(written)
}

/// Refuses a list that was made for another folder: its questions may read like those of this one.
fn of_another(folder: &Folder, answers: &[Answered]) -> Result<(), AnswerError> {
    let called = intake::called(folder);
    let other = |one: &&Answered| ![String::new(), called.clone(), folder.name()].contains(&one.made_for);
    match answers.iter().find(other) {
        None => Ok(()),
        Some(other) => Err(AnswerError::NoAnswers(vec![format!(
            "the list was made for {}, and this is {called}\n\
             help: name the folder that it was made for; for this one, hillfolio check {} --corrections NEW.xlsx writes a list",
            other.made_for,
            folder.root().display()
        )])),
    }
}

/// The settings and the corrections of cells with the answers in them; nothing where there are none for a file.
fn texts(open: &Folder, given: &[Given<'_>]) -> Result<(Option<String>, Option<String>), AnswerError> {
    let lines = given.iter().filter_map(|given| match &given.becomes {
        Becomes::Lines(lines) => Some(lines.as_str()),
        Becomes::Cells(_) => None,
    });
    let cells = given.iter().filter_map(|given| match &given.becomes {
        Becomes::Cells(cells) => Some(cells.as_slice()),
        Becomes::Lines(_) => None,
    });
    let (lines, cells): (Vec<&str>, Vec<CellCorrection>) =
        (lines.collect(), cells.flatten().cloned().collect());
    let unread =
        |name: &str| AnswerError::NoAnswers(vec![format!("{name} can't be read; put it right first")]);
    let settings = match lines.is_empty() {
        true => None,
        false => {
            let text = open.text(SETTINGS)?.unwrap_or_default();
            Some(with_answers(&text, lines).ok_or_else(|| unread(SETTINGS))?)
        }
    };
    let cells = match cells.is_empty() {
        true => None,
        false => {
            let text = open.text(CORRECTIONS)?.unwrap_or_default();
            Some(with_corrections(&text, &cells).ok_or_else(|| unread(CORRECTIONS))?)
        }
    };
    Ok((settings, cells))
}

/// Reads the folder as it would be with the answers, and says which of them can't be: names of nothing, and what the cell can't hold.
/// `known` was wrong before.
fn tried(open: &Folder, known: &[Problem], given: &mut [Given<'_>]) -> Result<Vec<String>, AnswerError> {
    let read = |given: &[Given<'_>]| -> Result<Vec<Problem>, AnswerError> {
        let (settings, cells) = texts(open, given)?;
        let with = [(SETTINGS, settings), (CORRECTIONS, cells)];
        let folder = with.into_iter().fold(open.clone(), |folder, (name, text)| match text {
            Some(text) => folder.instead(name, text),
            None => folder,
        });
        let read = intake::read(&folder, &typeset::printable());
        Ok(read.map_or_else(|problems| problems, |intake| intake.problems))
    };
    let mut found = read(given)?;
    // What a setting has made of a cell is not what the file holds: the correction goes by the file.
    let mut held = false;
    for problem in &found {
        let Kind::Reading(Reading::CorrectionMisses { cell, holds: Some(holds), .. }) = &problem.kind else {
            continue;
        };
        for one in given.iter_mut() {
            let Becomes::Cells(cells) = &mut one.becomes else { continue };
            for of_file in cells.iter_mut().filter(|one| one.place() == *cell) {
                of_file.read.clone_from(holds);
                held = true;
            }
        }
    }
    if held {
        found = read(given)?;
    }
    let is_new = |problem: &&Problem| !known.iter().any(|old| old.is_like(problem));
    let wrong = |given: &Given<'_>| {
        let fault = match &given.becomes {
            Becomes::Cells(cells) => found.iter().find(|problem| is_of_cells(problem, cells)),
            Becomes::Lines(lines) => found.iter().filter(is_new).find(|problem| is_of_lines(problem, lines)),
        }?;
        let message = fault.message();
        let help = message.help.map(|help| format!("\n  help: {help}")).unwrap_or_default();
        Some(format!(
            "row {}: `{}` can't be the answer: {}{help}",
            given.row,
            short(given.answer),
            message.sentence
        ))
    };
    Ok(given.iter().filter_map(wrong).collect())
}

/// Whether the problem is an error in one of the cells.
fn is_of_cells(problem: &Problem, cells: &[CellCorrection]) -> bool {
    let place = &problem.place;
    let at = |cell: &CellCorrection| {
        *place.path == *cell.file
            && place.row == Some(cell.row)
            && place.column.as_deref() == Some(cell.column.as_str())
    };
    match &problem.kind {
        Kind::Reading(Reading::CorrectionMisses { cell, .. }) => cells.iter().any(|one| one.place() == *cell),
        _ => problem.grade() == Grade::Error && cells.iter().any(at),
    }
}

/// Whether the problem is an error in what the lines of the settings say.
fn is_of_lines(problem: &Problem, lines: &str) -> bool {
    let Some(column) = problem.place.column.as_deref().filter(|_| *problem.place.path == *SETTINGS) else {
        return false;
    };
    let within = |name: &String| column == name || column.starts_with(&format!("{name}."));
    problem.grade() == Grade::Error && intake::set_by(lines).iter().any(within)
}

impl From<Problem> for AnswerError {
    fn from(problem: Problem) -> AnswerError {
        AnswerError::Command(problem.into())
    }
}

/// Why an answer can't be one.
fn unfit(row: u32, answer: &str, asked: &Correction) -> String {
    let labels: Vec<&str> = asked.asked.choices.iter().map(|choice| choice.label.as_str()).collect();
    let what = match labels.as_slice() {
        [] => "this can only be put right in the file itself".to_owned(),
        labels => format!("choose {}", labels.join(", or ")),
    };
    format!("row {row}: `{}` is no answer to it; {what}", short(answer))
}

/// How many there are, in words.
fn counted(count: usize, one: &str) -> String {
    format!("{count} {one}{}", if count == 1 { "" } else { "s" })
}

/// An answer as it is told.
fn short(answer: &str) -> String {
    answer.chars().take(60).collect()
}
