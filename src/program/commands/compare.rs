//! `compare`: what changed between the ledgers of two years.

use std::path::Path;

use crate::{
    VERSION,
    audit::{self, Changes},
    commands::{CommandError, DIFFERS, Outcome, read},
    console,
};
use hillfolio_core::{
    intake::{self, CopyError, Intake, Record},
    ledger::{self, LedgerRecord},
    problem::{self, Place, Problem, Reading},
};

/// The ledgers of two years, and what changed from the one to the other.
pub struct Comparison {
    /// The earlier.
    pub then: LedgerRecord,
    /// The later.
    pub now: LedgerRecord,
    /// What changed.
    pub changes: Changes,
}

pub(super) fn run(then: &Path, now: &Path, json: bool) -> Outcome {
    match compare(then, now) {
        Ok(Comparison { then, now, changes }) => {
            let print = if json { console::changes_json } else { console::changes };
            let code = if changes.is_none() { 0 } else { DIFFERS };
            Outcome { out: print(&then, &now, &changes), code, ..Outcome::default() }
        }
        Err(failure) => failure.not_read(),
    }
}

/// Compares two years, each a pack, a project folder or a ledger.
///
/// # Errors
/// [`CommandError::Folder`] with everything that is wrong with the one that can't be read.
pub fn compare(then: &Path, now: &Path) -> Result<Comparison, CommandError> {
    let (then, now) = (ledger(then)?, ledger(now)?);
    let changes = audit::changes(&then, &now);
    Ok(Comparison { then, now, changes })
}

/// The ledger at `path`: worked out, taken from a pack, or as it is.
fn ledger(path: &Path) -> Result<LedgerRecord, CommandError> {
    let bytes = match intake::record(path)? {
        Record::Ledger(bytes) => bytes,
        Record::Project(folder) => {
            let Intake { project, mut problems, .. } = read(&folder)?;
            let ledger = ledger::fill(&project);
            problems.extend(ledger.doubts.iter().cloned());
            problem::list(&mut problems);
            return Ok(LedgerRecord::of(&ledger, &project, &problems, VERSION));
        }
        Record::Pack(mut pack) => {
            let mut bytes = Vec::new();
            match pack.read(audit::LEDGER, &mut bytes) {
                Err(CopyError::Pack(problem)) => return Err((*problem).into()),
                Ok(_) | Err(CopyError::Target(_)) => bytes,
            }
        }
    };
    LedgerRecord::read(&bytes).map_err(|why| {
        let kind = Reading::Malformed { format: "ledger of figures", why: why.to_string() };
        Problem::new(kind, Place::file(path.display().to_string())).into()
    })
}
