//! `explain`: how a figure came about, its method, equation, source and rows.

use std::path::Path;

use crate::{
    commands::{DIFFERS, Outcome, USAGE, check, listed},
    console,
};
use hillfolio_core::{
    intake::Intake,
    ledger::{self, Explanation},
    problem::Problem,
};

pub(super) fn run(folder: &Path, id: &str) -> Outcome {
    match explain(folder, id) {
        Ok(Ok(explanation)) => Outcome::done(console::explanation(&explanation)),
        Ok(Err(nearest)) => {
            let mut err = format!("no figure is called `{id}`\n");
            if !nearest.is_empty() {
                err += &format!("nearest: {}\n", nearest.join(", "));
            }
            Outcome { err, code: USAGE, ..Outcome::default() }
        }
        Err(problems) => Outcome { err: listed(&problems), code: DIFFERS, ..Outcome::default() },
    }
}

/// Says how the figure `id` came about; where there is none, the ids nearest to it.
///
/// # Errors
/// Every problem, if the folder has an error.
pub fn explain(folder: &Path, id: &str) -> Result<Result<Explanation, Vec<String>>, Vec<Problem>> {
    let Intake { project, .. } = check(folder)?;
    let ledger = ledger::fill(&project);
    Ok(ledger::explain(&ledger, &project, id).ok_or_else(|| ledger::nearest(&ledger, id)))
}
