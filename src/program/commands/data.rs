//! `data`: what the template of a document finds, for whoever writes a template of their own.

use std::path::Path;

use crate::{
    VERSION,
    commands::{CommandError, DIFFERS, Outcome, USAGE, agreements, listed, pictures, read},
};
use hillfolio_core::{
    intake::{Folder, Intake},
    ledger::{self, Filled},
    plan,
    problem::{self},
};
use hillfolio_documents::{
    draw,
    thumbnails::Thumbnails,
    typeset::{self, Document, ReportInputs},
};

/// Whose documents are asked for: those of the place, of an agreement that is, or of one that isn't, with those that are.
enum Whose {
    Found(String),
    NoSuchAgreement(Vec<String>),
}

pub(super) fn run(folder: &Path, document: Document, agreement: Option<&str>) -> Outcome {
    match data(folder, document, agreement) {
        Ok(Whose::Found(tree)) => Outcome::done(tree + "\n"),
        Ok(Whose::NoSuchAgreement(there)) => {
            let there = match there.is_empty() {
                true => "the folder has no more than one: leave --agreement out".to_owned(),
                false => format!("there are: {}", there.join(", ")),
            };
            let err = format!("no agreement is called `{}`; {there}\n", agreement.unwrap_or_default());
            Outcome { err, code: USAGE, ..Outcome::default() }
        }
        Err(CommandError::Folder(problems)) => {
            Outcome { err: listed(&problems), code: DIFFERS, ..Outcome::default() }
        }
        Err(failure) => failure.not_written(),
    }
}

/// What the template of `document` finds, of the place or of one agreement.
fn data(folder: &Path, document: Document, agreement: Option<&str>) -> Result<Whose, CommandError> {
    let whole = Folder::open(folder)?;
    let intake = read(&whole)?;
    let Some(id) = agreement else { return found(&whole, intake, document).map(Whose::Found) };
    let mut parts = agreements::parts(&whole, &intake.project)?;
    match parts.iter().position(|part| part.id == id) {
        Some(at) => {
            let part = parts.swap_remove(at);
            found(&part.folder, part.intake, document).map(Whose::Found)
        }
        None => Ok(Whose::NoSuchAgreement(parts.into_iter().map(|part| part.id).collect())),
    }
}

fn found(folder: &Folder, intake: Intake, document: Document) -> Result<String, CommandError> {
    let Intake { project, mut problems, .. } = intake;
    let plan = plan::make(&project);
    let mut filled = ledger::fill_but_plan(&project);
    let mut sheets = draw::sheets_but_plan(&project, &filled);
    if let Some(plan) = &plan {
        ledger::enter_plan(&mut filled.ledger, &project, plan);
        sheets.add_plan(&project, plan, &filled.ledger);
    }
    let Filled { ledger, cells } = filled;
    let (pictures, unreadable) = pictures(folder, &project, &Thumbnails::default());
    problems.extend(unreadable);
    problems.extend(ledger.doubts.iter().cloned());
    problem::list(&mut problems);
    let records = ledger::files(&ledger, &project, &problems, VERSION)?;
    let inputs = ReportInputs {
        project: &project,
        plan: plan.as_ref(),
        ledger: &ledger,
        cells: cells.as_ref(),
        sheets: &sheets,
        pictures: &pictures,
        problems: &problems,
        records: &records,
        version: VERSION,
    };
    Ok(typeset::found_by_template(&inputs, document)?)
}
