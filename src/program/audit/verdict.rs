//! Whether a pack still says what its inputs give.

use std::collections::{BTreeMap, BTreeSet};

use crate::audit::{
    Change, Changes, Fault, INPUTS, Member, ORIGINALS, Seal, TEMPLATES, Turn, changes,
    side_by_side::side_by_side,
};
use hillfolio_core::{
    ledger::{DoubtRecord, LedgerRecord},
    problem::{Carried, Place, Problem},
};
use hillfolio_documents::pack::SUMS;

/// What came of a pack's verification.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// How many members the pack has.
    pub members: usize,
    /// Members whose bytes are not those of the manifest, those missing and those added: path and fault.
    pub sums: Vec<(String, Fault)>,
    /// Inputs whose bytes are not those that the ledger says were read.
    pub inputs: Vec<Forged>,
    /// The ledger that the pack holds.
    pub ledger: Result<LedgerRecord, String>,
    /// What the inputs gave when all was worked out from them again.
    pub again: Recomputed,
    /// What the seal beside the pack says.
    pub seal: Seal,
}

/// An input of the pack and the ledger that disagree.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Forged {
    /// Its path inside the project folder.
    pub path: String,
    /// The sum in the ledger; `None` where the ledger does not list the file.
    pub listed: Option<String>,
    /// The sum of the bytes; `None` where the pack does not hold the file.
    pub found: Option<String>,
}

/// The outcome of working everything out again.
#[derive(Debug, Clone, PartialEq)]
pub enum Recomputed {
    /// The inputs could not be read as a project folder: the problems.
    Refused(Vec<Problem>),
    /// A document could not be made, in words.
    Failed(String),
    /// It was not asked for: sums alone were looked at.
    NotAsked,
    /// It was done.
    Done(Box<Redone>),
}

/// What was worked out again, held against what the pack says.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Redone {
    /// How many figures came out as they stand in the pack.
    pub same: usize,
    /// Figures that did not.
    pub figures: Vec<Change>,
    /// Targets that stand otherwise.
    pub targets: Vec<Turn>,
    /// How many doubts were taken from the pack's ledger because the files that they are about were not sent.
    pub carried: usize,
    /// How many templates of the sender's own the documents are set with.
    pub templates: usize,
    /// Whether those were run: a template is a program, and may take as long as it likes.
    pub templates_run: bool,
    /// The version that the pack says it was made by, where it is not this one: documents, layers and tables can't be held against
    /// their bytes, so that the pack is not verified.
    pub other_version: Option<String>,
    /// How many documents, layers and tables were made again and compared byte for byte.
    pub compared: usize,
    /// Those that came out otherwise.
    pub files: Vec<(String, FileFault)>,
}

/// What is wrong with a document, a layer or a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileFault {
    /// Its bytes are not those that the inputs give.
    Differs,
    /// The inputs give it, and the pack does not hold it.
    Missing,
    /// The pack holds it, and the inputs do not give it.
    Unmade,
}

impl FileFault {
    /// The fault in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            FileFault::Differs => "is not what the inputs give",
            FileFault::Missing => "is given by the inputs and not in the pack",
            FileFault::Unmade => "is in the pack and not given by the inputs",
        }
    }
}

impl Recomputed {
    /// Whether documents were not set again because templates of the sender's would have to be run.
    #[must_use]
    pub fn leaves_templates(&self) -> bool {
        matches!(self, Recomputed::Done(redone) if redone.templates > 0 && !redone.templates_run)
    }
}

impl Verdict {
    /// Whether everything that was asked for could be compared, and nothing differs.
    #[must_use]
    pub fn is_same(&self) -> bool {
        let again = match &self.again {
            Recomputed::Done(redone) => {
                let figures = redone.figures.is_empty() && redone.targets.is_empty();
                figures
                    && redone.files.is_empty()
                    && redone.other_version.is_none()
                    && !self.again.leaves_templates()
            }
            Recomputed::Refused(_) | Recomputed::Failed(_) => false,
            Recomputed::NotAsked => true,
        };
        again && self.seal.is_good() && self.sums.is_empty() && self.inputs.is_empty() && self.ledger.is_ok()
    }
}

/// Where the inputs among `members` and those that `ledger` lists disagree, in order of path.
#[must_use]
pub fn forged(ledger: &LedgerRecord, members: &[Member]) -> Vec<Forged> {
    let listed = ledger.inputs.iter().map(|input| (&*input.path, input.sha256.as_str()));
    let found = members
        .iter()
        .filter_map(|member| Some((member.path.strip_prefix(INPUTS)?, member.sha256.as_deref())));
    let owned = |sum: Option<&str>| sum.map(str::to_owned);
    let pairs = side_by_side(listed, found).into_iter();
    pairs
        .map(|(path, (listed, found))| (path, listed, found.flatten()))
        .filter(|(_, listed, found)| listed != found)
        .map(|(path, listed, found)| Forged {
            path: path.to_owned(),
            listed: owned(listed),
            found: owned(found),
        })
        .collect()
}

/// The doubts of `ledger` about files that the pack does not hold, or holds only as a copy with cells taken out: nobody can find
/// them again, so they are taken as they were said. `held` are the inputs that the pack holds whole.
#[must_use]
pub fn carried(ledger: &LedgerRecord, held: &BTreeSet<&str>) -> Vec<Problem> {
    let left_behind = ledger.doubts.iter().filter(|doubt| !held.contains(doubt.path.as_str()));
    let carry = |doubt: &DoubtRecord| {
        let kind =
            Carried { code: doubt.code.clone(), sentence: doubt.says.clone(), help: doubt.help.clone() };
        let place = Place {
            path: doubt.path.as_str().into(),
            row: doubt.row,
            column: doubt.column.clone(),
            excerpt: None,
        };
        Problem::new(kind, place)
    };
    left_behind.map(carry).collect()
}

/// The figures and targets of `then`, the pack's ledger, that are not those of `now`, which its inputs give.
#[must_use]
pub fn differences(then: &LedgerRecord, now: &LedgerRecord) -> (usize, Vec<Change>, Vec<Turn>) {
    let Changes { new, gone, changed, same, targets, .. } = changes(then, now);
    let mut figures: Vec<Change> = new.into_iter().chain(gone).chain(changed).collect();
    figures.sort_by(|one, other| one.id.cmp(&other.id));
    (same, figures, targets)
}

/// The documents, layers and tables of a pack, `members`, held against those `made` from its inputs: path and sum of each.
/// A member that can't be unpacked differs.
#[must_use]
pub fn files(members: &[Member], made: &BTreeMap<String, String>) -> Vec<(String, FileFault)> {
    let others = [INPUTS, TEMPLATES, ORIGINALS];
    let own = |path: &str| !others.iter().any(|folder| path.starts_with(folder)) && path != SUMS;
    let made = made.iter().filter(|(path, _)| own(path)).map(|(path, sum)| (path.as_str(), sum.as_str()));
    let held = members.iter().filter(|member| own(&member.path));
    let held = held.map(|member| (member.path.as_str(), member.sha256.as_deref()));
    let fault = |(path, sums): (&str, (Option<&str>, Option<Option<&str>>))| {
        let fault = match sums {
            (None, _) => FileFault::Unmade,
            (Some(_), None) => FileFault::Missing,
            (Some(made), Some(held)) if held != Some(made) => FileFault::Differs,
            (Some(_), Some(_)) => return None,
        };
        Some((path.to_owned(), fault))
    };
    side_by_side(made, held).into_iter().filter_map(fault).collect()
}
