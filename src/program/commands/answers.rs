//! `check --answers` and `check --take-back`: answers to what a check asks, written as settings and as corrections of cells, and
//! taken back.

use std::path::Path;

use crate::commands::{CommandError, DIFFERS, Outcome, USAGE, check::check};
use hillfolio_core::{
    intake::{self, CORRECTIONS, Folder, SETTINGS, with_answers, with_corrections},
    problem::{self, CellCorrection, Correction},
};
use hillfolio_documents::pack::{self, Change};

/// What answers came to.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Written {
    /// Questions that were answered by settings.
    pub settings: usize,
    /// Cells that were corrected.
    pub cells: usize,
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
            let Written { settings, cells, closed } = written;
            let told = format!(
                "{settings} answers written into {SETTINGS}, {cells} cells into {CORRECTIONS}; {open} questions are open\n\
                 hillfolio check {} --take-back gives both files back as they were\n",
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

/// Writes the answers that stand in the workbook `list` into `folder`.
///
/// # Errors
/// [`AnswerError`]; nothing is written then.
pub fn answer(folder: &Path, list: &Path) -> Result<Written, AnswerError> {
    let answers = intake::answers(list).map_err(CommandError::from)?;
    let open = Folder::open(folder).map_err(CommandError::from)?;
    let problems = check(folder).map_or_else(|problems| problems, |intake| intake.problems);
    let corrections = problem::corrections(&problems);
    let (mut lines, mut cells): (Vec<String>, Vec<CellCorrection>) = (Vec::new(), Vec::new());
    let (mut written, mut refused) = (Written::default(), Vec::new());
    for given in answers.iter().filter(|given| !given.answer.is_empty()) {
        let row = given.row;
        match corrections.iter().find(|one| one.mark == given.mark) {
            None => written.closed.push(format!("row {row}: the question is not open any more; left out")),
            Some(asked) => match asked.answered(&given.answer) {
                Some(problem::Becomes::Lines(of)) => {
                    written.settings += 1;
                    lines.push(of);
                }
                Some(problem::Becomes::Cells(of)) => cells.extend(of),
                None => refused.push(unfit(row, &given.answer, asked)),
            },
        }
    }
    if !refused.is_empty() {
        return Err(AnswerError::NoAnswers(refused));
    }
    written.cells = cells.len();
    let mut changes = Vec::new();
    let mut change = |name: &'static str, with: &dyn Fn(&str) -> Option<String>| {
        let before = open.text(name)?;
        let old = before.clone().unwrap_or_default();
        match with(&old) {
            Some(after) if before.is_some() && after == old => {}
            Some(after) => changes.push(Change { name, before, after: Some(after) }),
            None => {
                return Err(AnswerError::NoAnswers(vec![format!(
                    "{name} can't be read; put it right first"
                )]));
            }
        }
        Ok(())
    };
    if !lines.is_empty() {
        change(SETTINGS, &|text| with_answers(text, lines.iter().map(String::as_str)))?;
    }
    if !cells.is_empty() {
        change(CORRECTIONS, &|text| with_corrections(text, &cells))?;
    }
    if !changes.is_empty() {
        pack::write_answers(open.root(), &changes).map_err(CommandError::from)?;
    }
    Ok(written)
}

impl From<hillfolio_core::problem::Problem> for AnswerError {
    fn from(problem: hillfolio_core::problem::Problem) -> AnswerError {
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
    format!("row {row}: `{}` is no answer to it; {what}", answer.chars().take(60).collect::<String>())
}
