//! `check`: everything that is wrong with a project folder; and as a list of corrections.

use std::path::Path;

use crate::{
    VERSION, cli,
    commands::{CommandError, DIFFERS, Outcome, agreements, answers, forms, private_words, read},
    console::{self, Listing},
};
use hillfolio_core::{
    intake::{self, Folder, Intake},
    ledger,
    problem::{self, Problem},
};
use hillfolio_documents::{
    exports, pack,
    typeset::{self, Engine},
};

pub(super) fn run(asked: &cli::Check, quiet: bool) -> Outcome {
    if asked.take_back {
        return answers::run_back(&asked.folder, quiet);
    }
    if let Some(list) = &asked.answers {
        return answers::run(&asked.folder, list, quiet);
    }
    let (problems, code) = match check(&asked.folder) {
        Ok(intake) => (intake.problems, 0),
        Err(problems) => (problems, DIFFERS),
    };
    let out = match asked.json {
        true => console::as_json(&problems),
        false => {
            let folder = Folder::open(&asked.folder).ok();
            let settings = folder.as_ref().and_then(|folder| folder.text(intake::SETTINGS).ok().flatten());
            let settings = settings.unwrap_or_default();
            let proposed = folder.map(|folder| intake::proposed(&folder, &problems)).unwrap_or_default();
            let placed = |answer: &problem::Answer| intake::in_their_place(&settings, &answer.lines);
            let listing = Listing { problems: &problems, remarks: !quiet, placed: &placed };
            format!("{listing}{}", console::to_paste(&proposed))
        }
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
    let ahead = |problems: &mut Vec<Problem>| {
        problems.extend(intake::ahead(&folder, &typeset::printable(), problems));
        problem::list(problems);
    };
    let mut intake = read(&folder).map_err(|mut problems| {
        ahead(&mut problems);
        problems
    })?;
    let doubts = ledger::doubts(&intake.project, &intake.problems);
    intake.problems.extend(doubts);
    intake.problems.extend(forms::unanswered(&folder, &intake.project));
    intake.problems.extend(private_words::found(&folder, &intake.project));
    // What each agreement's documents would be made of is laid out and read as the build does it.
    let parts = agreements::parts(&folder, &intake.project).map_err(|failure| failure.problems())?;
    for part in parts.iter().filter(|part| !part.silent) {
        let asked = forms::unanswered(&part.folder, &part.intake.project);
        intake.problems.extend(agreements::of_answers(&part.id, asked));
    }
    // A table that is not read yet has its questions too.
    if intake.problems.iter().any(|problem| problem.kind.code() == "file-not-taken") {
        ahead(&mut intake.problems);
    }
    problem::list(&mut intake.problems);
    Ok(intake)
}

/// Writes the corrections that `problems`, found in `folder`, ask for into the file `list`: as CSV, as a workbook if it is called `.xlsx`, or to
/// be printed if it is called `.pdf`. A file that stands there gives way only if it is such a list without an answer in it. Gives how many there are.
///
/// # Errors
/// [`CommandError`] if the list could not be made or written.
pub fn write_corrections(folder: &Path, problems: &[Problem], list: &Path) -> Result<usize, CommandError> {
    let corrections = problem::corrections(problems);
    let is = |wanted: &str| list.extension().is_some_and(|ending| ending.eq_ignore_ascii_case(wanted));
    if is("xlsx") {
        let open = Folder::open(folder).ok();
        let called = open.as_ref().map(intake::called).unwrap_or_default();
        let names = open.map(|open| intake::known_names(&open, &typeset::printable())).unwrap_or_default();
        pack::write_list(
            list,
            &exports::corrections_xlsx(&corrections, &called, &|what| names.of(what))?,
            &intake::is_unanswered_book,
        )?;
    } else if is("pdf") {
        let name = Folder::open(folder).map(|folder| folder.name()).unwrap_or_default();
        let printed = Engine::new(&[]).corrections(&name, &corrections, VERSION)?;
        pack::write_list(list, &printed.bytes, &typeset::is_corrections)?;
    } else {
        pack::write_list(list, &exports::corrections_csv(&corrections)?, &exports::is_unanswered)?;
    }
    Ok(corrections.len())
}
