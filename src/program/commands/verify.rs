//! `verify`: whether a pack still says what its inputs give.

use std::{
    collections::{BTreeMap, BTreeSet},
    io::Write as _,
    path::Path,
};

use crate::{
    VERSION,
    audit::{self, Member, Recomputed, Redone, Seal, SealError, Sums, Verdict},
    commands::{
        CommandError, DIFFERS, Outcome,
        outputs::{Materials, outputs},
        read, seal, with_progress,
    },
    console,
};
use hillfolio_core::{
    intake::{self, CopyError, Folder, Intake, Packed},
    ledger::{self, LedgerRecord},
    problem, source,
};
use hillfolio_documents::{
    pack::{self, PackError, UnpackDir},
    thumbnails::Thumbnails,
    typeset::Document,
};

/// How closely a pack is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct How<'a> {
    /// By the sums of its members alone.
    pub sums_only: bool,
    /// Whether templates that the sender wrote are run.
    pub run_templates: bool,
    /// The sender's public key, against which the seal beside the pack is held.
    pub by: Option<&'a Path>,
}

pub(super) fn run(pack: &Path, how: How<'_>, json: bool, quiet: bool) -> Outcome {
    match with_progress(quiet, |says| verify(pack, how, says)) {
        Ok(verdict) => {
            let print = if json { console::verdict_json } else { console::verdict };
            let code = if verdict.is_same() { 0 } else { DIFFERS };
            Outcome { out: print(&verdict), code, ..Outcome::default() }
        }
        Err(failure) => failure.not_read(),
    }
}

/// Looks whether the pack at `path` still says what its inputs give: its seal, sums of all members, then everything worked out again.
///
/// # Errors
/// [`CommandError::Folder`] if it is no pack or can't be read, [`CommandError::Pack`] if it can't be laid out to be looked at.
pub fn verify(path: &Path, how: How<'_>, says: &dyn Fn(&'static str)) -> Result<Verdict, CommandError> {
    let seal = seal_of(path, how.by)?;
    let (unpacked, verdict) = looked_at(path, seal, says)?;
    // What was not sealed by whom it should be is not worked out: it is another's.
    if how.sums_only || !verdict.seal.is_good() {
        return Ok(verdict);
    }
    let then = verdict.ledger.as_ref().ok();
    let again = again(&unpacked.laid_out, &unpacked.members, then, how.run_templates, says)?;
    Ok(Verdict { again, ..verdict })
}

/// What the seal beside the pack at `path` says to the public key `by`.
fn seal_of(path: &Path, by: Option<&Path>) -> Result<Seal, CommandError> {
    let seal = intake::key_text(&seal::beside(path))?;
    let Some(by) = by else { return Ok(Seal::NotAsked { there: seal.is_some() }) };
    let refused = |why| CommandError::Seal { key: by.to_owned(), why };
    let public = intake::key_text(by)?.ok_or_else(|| refused(SealError::NoPublicKey))?;
    let Some(seal) = seal else { return Ok(Seal::Missing) };
    audit::held(&public, &seal, intake::pack_file(path)?).map_err(refused)
}

/// The pack at `path` laid out, and what its sums say beside its seal.
fn looked_at(
    path: &Path,
    seal: Seal,
    says: &dyn Fn(&'static str),
) -> Result<(Unpacked, Verdict), CommandError> {
    says("unpacking");
    let mut unpacked = unpack(Packed::open(path)?)?;
    let ledger = match unpacked.ledger.take() {
        Some(bytes) => LedgerRecord::read(&bytes).map_err(|why| why.to_string()),
        None => Err("the pack holds none".to_owned()),
    };
    let members = &unpacked.members;
    let sums = audit::faults(&Sums::of(&unpacked.sums), members, pack::SUMS);
    let inputs = ledger.as_ref().map(|ledger| audit::forged(ledger, members)).unwrap_or_default();
    let verdict = Verdict { members: members.len(), sums, inputs, ledger, again: Recomputed::NotAsked, seal };
    Ok((unpacked, verdict))
}

/// A pack laid out.
struct Unpacked {
    members: Vec<Member>,
    sums: String,
    ledger: Option<Vec<u8>>,
    laid_out: UnpackDir,
}

fn unpack(mut pack: Packed) -> Result<Unpacked, CommandError> {
    let laid_out =
        UnpackDir::with(&[audit::INPUTS, audit::TEMPLATES].map(|folder| folder.trim_end_matches('/')))?;
    let (mut members, mut sums, mut ledger) = (Vec::new(), Vec::new(), None);
    for path in pack.members().to_vec() {
        let mut held = Vec::new();
        let sha256 = if path.starts_with(audit::INPUTS) || path.starts_with(audit::TEMPLATES) {
            let mut file = laid_out.create(&path)?;
            pack.pour(&path, &mut |piece| file.write_all(piece))
        } else if path == pack::SUMS || path == audit::LEDGER {
            pack.read(&path, &mut held)
        } else {
            pack.pour(&path, &mut |_| Ok(()))
        };
        let sha256 = sha256.map_err(|failure| match failure {
            CopyError::Pack(problem) => CommandError::from(*problem),
            CopyError::Target(why) => PackError::Unpack { path: laid_out.path(&path), why }.into(),
        })?;
        match path.as_str() {
            pack::SUMS => sums = held,
            audit::LEDGER => ledger = Some(held),
            _ => {}
        }
        members.push(Member { path, sha256 });
    }
    Ok(Unpacked { members, sums: String::from_utf8_lossy(&sums).into_owned(), ledger, laid_out })
}

/// Works everything out again from the inputs that are `laid_out`, and holds it against the `members` and the ledger of the pack.
fn again(
    laid_out: &UnpackDir,
    members: &[Member],
    then: Option<&LedgerRecord>,
    run_templates: bool,
    says: &dyn Fn(&'static str),
) -> Result<Recomputed, CommandError> {
    says("reading the inputs again");
    let receipts = then.map(|ledger| ledger.receipts.clone()).unwrap_or_default();
    let folder = Folder::open(&laid_out.path(audit::INPUTS.trim_end_matches('/')))?.with(receipts);
    let Intake { project, mut problems, withheld } = match read(&folder) {
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
            {
                let ledger = ledger::fill(&project);
                problems.extend(ledger.doubts.iter().cloned());
                problem::list(&mut problems);
                Some(LedgerRecord::of(&ledger, &project, &problems, VERSION))
            }
        }
        None => {
            let templates = intake::templates(&laid_out.path(audit::TEMPLATES.trim_end_matches('/')))?;
            redone.templates = templates.len();
            // A template is a program of the sender's: without leave the documents are not set, and what they say is not compared.
            let set = templates.is_empty() || run_templates;
            redone.templates_run = set;
            let is_there = |document: &Document| {
                let name = format!("{}.pdf", document.name());
                members.iter().any(|member| member.path == name)
            };
            let wanted: Vec<Document> =
                Document::ALL.into_iter().filter(|document| set && is_there(document)).collect();
            // A pack is held against its inputs alone.
            let from = Materials {
                folder: &folder,
                project: &project,
                thumbnails: &Thumbnails::none(),
                templates: &templates,
                documents: &wanted,
            };
            let made = match outputs(from, problems, |_| Ok(()), says) {
                Ok(made) => made,
                Err(
                    failure @ (CommandError::Typeset(_) | CommandError::Ledger(_) | CommandError::Export(_)),
                ) => {
                    return Ok(Recomputed::Failed(failure.to_string()));
                }
                Err(failure) => return Err(failure),
            };
            let files = made.documents.iter().chain(&made.others);
            let sums: BTreeMap<String, String> =
                files.map(|file| (file.path.clone(), source::sha256(&file.bytes))).collect();
            redone.compared = sums.len();
            redone.files = audit::files(members, &sums);
            redone.files.retain(|(path, _)| set || !is_set(path));
            let ledger = made.others.into_iter().find(|file| file.path == audit::LEDGER);
            ledger.and_then(|file| LedgerRecord::read(&file.bytes).ok())
        }
    };
    if let (Some(then), Some(now)) = (then, now) {
        (redone.same, redone.figures, redone.targets) = audit::differences(then, &now);
    }
    Ok(Recomputed::Done(Box::new(redone)))
}

/// Whether the member at `path` is a document that templates set.
fn is_set(path: &str) -> bool {
    Document::ALL.into_iter().any(|document| format!("{}.pdf", document.name()) == path)
}
