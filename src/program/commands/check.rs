//! `check`: everything that is wrong with a project folder; and as a list of corrections.

use std::path::Path;

use crate::{
    VERSION, cli,
    commands::{CommandError, DIFFERS, Outcome, read},
    console::{self, Listing},
};
use hillfolio_core::{
    intake::{Folder, Intake},
    ledger,
    problem::{self, Problem},
};
use hillfolio_documents::{
    exports, pack,
    typeset::{self, Engine},
};

pub(super) fn run(asked: &cli::Check, quiet: bool) -> Outcome {
    let (problems, code) = match check(&asked.folder) {
        Ok(intake) => (intake.problems, 0),
        Err(problems) => (problems, DIFFERS),
    };
    let out = match asked.json {
        true => console::as_json(&problems),
        false => Listing { problems: &problems, remarks: !quiet }.to_string(),
    };
    let Some(list) = &asked.corrections else { return Outcome { out, code, ..Outcome::default() } };
    match write_corrections(&asked.folder, &problems, list) {
        Ok(_) if quiet => Outcome { out, code, ..Outcome::default() },
        Ok(count) => {
            Outcome { out, err: format!("{count} corrections listed in {}\n", list.display()), code }
        }
        Err(failure) => Outcome { out, ..failure.not_written() },
    }
}

/// Reads a project folder and says everything that is wrong with it.
///
/// # Errors
/// Every problem, if one of them is an error.
pub fn check(folder: &Path) -> Result<Intake, Vec<Problem>> {
    let folder = Folder::open(folder).map_err(|problem| vec![problem])?;
    let mut intake = read(&folder)?;
    intake.problems.extend(ledger::doubts(&intake.project));
    problem::list(&mut intake.problems);
    Ok(intake)
}

/// Writes the corrections that `problems`, found in `folder`, ask for into the file `list`: as CSV, or to be printed if it is called
/// `.pdf`. A file that stands there gives way only if it is such a list without an answer in it. Gives how many there are.
///
/// # Errors
/// [`CommandError`] if the list could not be made or written.
pub fn write_corrections(folder: &Path, problems: &[Problem], list: &Path) -> Result<usize, CommandError> {
    let corrections = problem::corrections(problems);
    let is_pdf = list.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("pdf"));
    if is_pdf {
        let name = Folder::open(folder).map(|folder| folder.name()).unwrap_or_default();
        let printed = Engine::new(&[]).corrections(&name, &corrections, VERSION)?;
        pack::write_list(list, &printed.bytes, &typeset::is_corrections)?;
    } else {
        pack::write_list(list, &exports::corrections_csv(&corrections)?, &exports::is_unanswered)?;
    }
    Ok(corrections.len())
}
