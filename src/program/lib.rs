//! Hillfolio turns a planting project's folder into checked figures, maps and typeset reports.
//!
//! The whole run stands in [`build`]: a folder is read and checked, figures are worked out and entered in the ledger, maps
//! and charts are drawn, documents are typeset, and everything is packed, all at once or not at all.

pub mod audit;
pub mod cli;
pub mod console;
pub mod making;
pub mod portfolio;

use std::{
    collections::{BTreeMap, BTreeSet},
    io::Write as _,
    path::Path,
    path::PathBuf,
    sync::Arc,
};

use hillfolio_core::{
    intake::{self, Folder, Intake, Packed, Record, Spill},
    ledger::{self, Explanation, LedgerRecord},
    problem::{self, Place, Problem, Reading},
    source,
};
use hillfolio_documents::{
    exports,
    pack::{self, Desk, File, Inputs, Packing, Receipt},
    thumbnails::Thumbnails,
    typeset::{self, Document, Engine},
};

use audit::{Changes, Member, Recomputed, Redone, Sums, Verdict};
use making::{Made, Origin};
use portfolio::Task;

/// The program's version, as documents and ledgers state it.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

/// What is to be built.
#[derive(Debug, Clone)]
pub struct Order {
    /// The project folder.
    pub folder: PathBuf,
    /// Where to write; `None` is `out` in the project folder.
    pub out: Option<PathBuf>,
    /// The documents; empty is those that the project calls for.
    pub only: Vec<Document>,
    /// A folder of the user's own templates.
    pub templates: Option<PathBuf>,
    /// A folder of the user's own in which photos made small are kept between builds; `None` keeps none.
    pub photo_cache: Option<PathBuf>,
}

/// A build that came to its end.
#[derive(Debug)]
pub struct Built {
    /// What was written.
    pub receipt: Receipt,
    /// Doubts and remarks, in listing order.
    pub problems: Vec<Problem>,
}

/// Why a build did not come to its end.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// The folder has errors: all of them, with the doubts, in listing order.
    #[error("the folder has errors")]
    Folder(Vec<Problem>),
    /// Something could not be made or written.
    #[error(transparent)]
    Making(#[from] making::Failure),
}

impl Failure {
    /// What to do about it, where the reason tells and its words don't.
    #[must_use]
    pub fn help(&self) -> Option<&'static str> {
        if let Failure::Making(making::Failure::Pack(failure)) = self { failure.help() } else { None }
    }
}

impl From<typeset::Failure> for Failure {
    fn from(failure: typeset::Failure) -> Failure {
        Failure::Making(failure.into())
    }
}

impl From<pack::Failure> for Failure {
    fn from(failure: pack::Failure) -> Failure {
        Failure::Making(failure.into())
    }
}

impl From<Problem> for Failure {
    fn from(problem: Problem) -> Failure {
        Failure::Folder(vec![problem])
    }
}

/// Reads a project folder and says everything that is wrong with it.
///
/// # Errors
/// Every problem, if one of them is an error.
pub fn check(folder: &Path) -> Result<Intake, Vec<Problem>> {
    let folder = Folder::open(folder).map_err(|problem| vec![problem])?;
    intake::read(&folder, &typeset::printable())
}

/// Writes the corrections that `problems`, found in `folder`, ask for into the file `list`: as CSV, or to be printed if it is called
/// `.pdf`. A file that stands there gives way only if it is such a list without an answer in it. Gives how many there are.
///
/// # Errors
/// [`Failure`] if the list could not be made or written.
pub fn write_corrections(folder: &Path, problems: &[Problem], list: &Path) -> Result<usize, Failure> {
    let corrections = problem::corrections(problems);
    let is_pdf = list.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("pdf"));
    if is_pdf {
        let name = Folder::open(folder).map(|folder| folder.name()).unwrap_or_default();
        let printed = Engine::new(&[]).corrections(&name, &corrections, VERSION)?;
        pack::write_list(list, &printed.bytes, &typeset::is_corrections)?;
    } else {
        pack::write_list(list, &exports::corrections_csv(&corrections), &exports::is_unanswered)?;
    }
    Ok(corrections.len())
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

/// Builds what is ordered. `says` is told what is being done.
///
/// # Errors
/// [`Failure`]; the output folder is then as it was before.
pub fn build(order: &Order, says: &dyn Fn(&'static str)) -> Result<Built, Failure> {
    says("reading the folder");
    let folder = Folder::open(&order.folder)?;
    let Intake { project, problems, withheld } =
        intake::read(&folder, &typeset::printable()).map_err(Failure::Folder)?;
    let templates = order.templates.as_deref().map(intake::templates).transpose()?.unwrap_or_default();
    let wanted = if order.only.is_empty() { Document::due(&project) } else { order.only.clone() };
    let out = order.out.clone().unwrap_or_else(|| order.folder.join("out"));
    let kept = order.photo_cache.as_deref().map(|cache| Thumbnails::kept_in(cache, &[folder.root(), &out]));
    let thumbnails = kept.unwrap_or_default();
    let from = Origin { folder: &folder, project: &project, thumbnails: &thumbnails, version: VERSION };
    let name = pack::pack_name(
        &project.identity.name,
        &project.identity.reference,
        project.period.from,
        project.period.to,
    );
    let mut packing = Packing::begin(&order.folder, &out, &name, project.period.to)?;
    let inputs = Inputs {
        listed: project.inputs.iter().map(|input| (Arc::clone(&input.path), input.sha256.clone())).collect(),
        read: &|path| withheld.get(path).map_or_else(|| folder.bytes(path), |copy| Ok(copy.clone())),
    };
    let packs = |files: &[File]| packing.add_inputs(&inputs).and_then(|()| packing.add(files));
    let Made { documents, problems, .. } = making::make(from, problems, (&templates, &wanted), packs, says)?;

    says("packing");
    packing.add(&documents)?;
    let receipt = packing.finish()?;
    Ok(Built { receipt, problems })
}

/// Builds one project of a portfolio.
#[must_use]
pub fn build_member(task: &Task) -> portfolio::Made {
    let order = Order {
        folder: task.folder.clone(),
        out: Some(task.out.clone()),
        only: Vec::new(),
        templates: task.templates.clone(),
        photo_cache: task.photo_cache.clone(),
    };
    match build(&order, &|_| {}) {
        Ok(built) => portfolio::Made::Documents(built.problems),
        Err(Failure::Folder(problems)) => portfolio::Made::Errors(problems),
        Err(failure) => portfolio::Made::Not(with_causes(&failure)),
    }
}

/// A failure in one line, with every cause behind it that it does not tell itself.
#[must_use]
pub fn with_causes(failure: &dyn std::error::Error) -> String {
    let mut words = failure.to_string();
    let mut cause = failure.source();
    while let Some(why) = cause {
        let says = why.to_string();
        if !words.contains(&says) {
            words = format!("{words}: {says}");
        }
        cause = why.source();
    }
    words
}

/// Looks whether the pack at `path` still says what its inputs give: sums of all members, then everything worked out again.
///
/// # Errors
/// [`Failure::Folder`] if it is no pack or can't be read, [`Failure::Making`] if it can't be laid out to be looked at.
pub fn verify(path: &Path, says: &dyn Fn(&'static str)) -> Result<Verdict, Failure> {
    says("unpacking");
    let Unpacked { members, sums, ledger, desk } = unpack(Packed::open(path)?)?;
    let ledger = match ledger {
        Some(bytes) => LedgerRecord::read(&bytes).map_err(|why| why.to_string()),
        None => Err("the pack holds none".to_owned()),
    };
    let faults = audit::faults(&Sums::of(&sums), &members, pack::SUMS);
    let inputs = ledger.as_ref().map(|ledger| audit::forged(ledger, &members)).unwrap_or_default();
    let again = again(&desk, &members, ledger.as_ref().ok(), says)?;
    Ok(Verdict { members: members.len(), sums: faults, inputs, ledger, again })
}

/// A pack laid out.
struct Unpacked {
    members: Vec<Member>,
    sums: String,
    ledger: Option<Vec<u8>>,
    desk: Desk,
}

fn unpack(mut pack: Packed) -> Result<Unpacked, Failure> {
    let desk = Desk::with(&[audit::INPUTS, audit::TEMPLATES].map(|folder| folder.trim_end_matches('/')))?;
    let (mut members, mut sums, mut ledger) = (Vec::new(), Vec::new(), None);
    for path in pack.members().to_vec() {
        let mut held = Vec::new();
        let sha256 = if path.starts_with(audit::INPUTS) || path.starts_with(audit::TEMPLATES) {
            let mut file = desk.create(&path)?;
            pack.pour(&path, &mut |piece| file.write_all(piece))
        } else if path == pack::SUMS || path == audit::LEDGER {
            pack.read(&path, &mut held)
        } else {
            pack.pour(&path, &mut |_| Ok(()))
        };
        let sha256 = sha256.map_err(|spill| match spill {
            Spill::Pack(problem) => Failure::from(problem),
            Spill::Target(why) => pack::Failure::Desk { path: desk.path(&path), why }.into(),
        })?;
        match path.as_str() {
            pack::SUMS => sums = held,
            audit::LEDGER => ledger = Some(held),
            _ => {}
        }
        members.push(Member { path, sha256 });
    }
    Ok(Unpacked { members, sums: String::from_utf8_lossy(&sums).into_owned(), ledger, desk })
}

/// Works everything out again from the inputs on the `desk`, and holds it against the `members` and the ledger of the pack.
fn again(
    desk: &Desk,
    members: &[Member],
    then: Option<&LedgerRecord>,
    says: &dyn Fn(&'static str),
) -> Result<Recomputed, Failure> {
    says("reading the inputs again");
    let receipts = then.map(|ledger| ledger.receipts.clone()).unwrap_or_default();
    let folder = Folder::open(&desk.path(audit::INPUTS.trim_end_matches('/')))?.with(receipts);
    let Intake { project, mut problems, withheld } = match intake::read(&folder, &typeset::printable()) {
        Ok(intake) => intake,
        Err(problems) => return Ok(Recomputed::Refused(problems)),
    };
    let whole = |path: &&str| !withheld.contains_key(*path);
    let held: BTreeSet<&str> = project.inputs.iter().map(|input| &*input.path).filter(whole).collect();
    let carried = then.map(|ledger| audit::carried(ledger, &held)).unwrap_or_default();
    problems.retain(|problem| held.contains(&*problem.place.path));
    let mut redone = Redone { carried: carried.len(), ..Redone::default() };
    problems.extend(carried);
    problem::list(&mut problems);

    let now = match then.filter(|ledger| ledger.program.version != VERSION) {
        Some(ledger) => {
            says("working out the figures");
            redone.other_version = Some(ledger.program.version.clone());
            Some(LedgerRecord::of(&ledger::fill(&project), &project, &problems, VERSION))
        }
        None => {
            let templates = intake::templates(&desk.path(audit::TEMPLATES.trim_end_matches('/')))?;
            redone.templates = templates.len();
            let is_there = |document: &Document| {
                let name = format!("{}.pdf", document.name());
                members.iter().any(|member| member.path == name)
            };
            let wanted: Vec<Document> = Document::ALL.into_iter().filter(is_there).collect();
            // A pack is held against its inputs alone.
            let thumbnails = Thumbnails::none();
            let from =
                Origin { folder: &folder, project: &project, thumbnails: &thumbnails, version: VERSION };
            let made = match making::make(from, problems, (&templates, &wanted), |_| Ok(()), says) {
                Ok(made) => made,
                Err(making::Failure::Pack(failure)) => return Err(failure.into()),
                Err(failure) => return Ok(Recomputed::Failed(failure.to_string())),
            };
            let files = made.documents.iter().chain(&made.others);
            let sums: BTreeMap<String, String> =
                files.map(|file| (file.path.clone(), source::sha256(&file.bytes))).collect();
            redone.compared = sums.len();
            redone.files = audit::files(members, &sums);
            let ledger = made.others.into_iter().find(|file| file.path == audit::LEDGER);
            ledger.and_then(|file| LedgerRecord::read(&file.bytes).ok())
        }
    };
    if let (Some(then), Some(now)) = (then, now) {
        (redone.same, redone.figures, redone.targets) = audit::differences(then, &now);
    }
    Ok(Recomputed::Done(Box::new(redone)))
}

/// The ledgers of two years, each a pack, a project folder or a ledger, and what changed from the one to the other.
///
/// # Errors
/// [`Failure::Folder`] with everything that is wrong with the one that can't be read.
pub fn compare(then: &Path, now: &Path) -> Result<(LedgerRecord, LedgerRecord, Changes), Failure> {
    let (then, now) = (ledger(then)?, ledger(now)?);
    let changes = audit::changes(&then, &now);
    Ok((then, now, changes))
}

/// The ledger at `path`: worked out, taken from a pack, or as it is.
fn ledger(path: &Path) -> Result<LedgerRecord, Failure> {
    let bytes = match intake::record(path)? {
        Record::Ledger(bytes) => bytes,
        Record::Project(folder) => {
            let Intake { project, problems, .. } =
                intake::read(&folder, &typeset::printable()).map_err(Failure::Folder)?;
            return Ok(LedgerRecord::of(&ledger::fill(&project), &project, &problems, VERSION));
        }
        Record::Pack(mut pack) => {
            let mut bytes = Vec::new();
            match pack.read(audit::LEDGER, &mut bytes) {
                Err(Spill::Pack(problem)) => return Err(problem.into()),
                Ok(_) | Err(Spill::Target(_)) => bytes,
            }
        }
    };
    LedgerRecord::read(&bytes).map_err(|why| {
        let kind = Reading::Malformed { format: "ledger of figures", why: why.to_string() };
        Problem::new(kind, Place::file(path.display().to_string())).into()
    })
}
