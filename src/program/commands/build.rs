//! `build`: a project folder in; documents, maps, layers, tables and one zip out, all at once or not at all.

use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

use crate::{
    cli::{self, Paper},
    commands::{
        CommandError, DIFFERS, Outcome,
        agreements::{self, Part},
        listed,
        outputs::{Materials, Outputs, outputs},
        private_words, read, with_progress,
    },
    console,
};
use hillfolio_core::{
    intake::{self, Folder, Intake},
    problem::Problem,
};
use hillfolio_documents::{
    pack::{self, File, Inputs, Packing, Receipt},
    thumbnails::Thumbnails,
    typeset::Document,
};

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

pub(super) fn run(asked: cli::Build, quiet: bool) -> Outcome {
    let order = Order {
        folder: asked.folder,
        out: asked.out,
        only: asked.only.into_iter().map(Document::from).collect(),
        templates: asked.templates,
        photo_cache: photo_cache(asked.no_cache),
    };
    match with_progress(quiet, |says| build(&order, says)) {
        Ok(_) if quiet => Outcome::default(),
        Ok(Built { receipt, problems }) => {
            Outcome { out: console::receipt(&receipt), err: listed(&problems), code: 0 }
        }
        Err(CommandError::Folder(problems)) => {
            Outcome { err: listed(&problems) + "nothing was written\n", code: DIFFERS, ..Outcome::default() }
        }
        Err(failure) => failure.not_written(),
    }
}

/// Builds what is ordered. `says` is told what is being done.
///
/// # Errors
/// [`CommandError`]; the output folder is then as it was before.
pub fn build(order: &Order, says: &dyn Fn(&'static str)) -> Result<Built, CommandError> {
    says("reading the folder");
    let folder = Folder::open(&order.folder)?;
    let mut intake = read(&folder)?;
    let templates = order.templates.as_deref().map(intake::templates).transpose()?.unwrap_or_default();
    let out = order.out.clone().unwrap_or_else(|| order.folder.join("out"));
    let parts = agreements::parts(&folder, &intake.project)?;
    intake.problems.extend(private_words::found(&folder, &intake.project));
    let listed = intake.project.inputs.iter().map(|input| (Arc::clone(&input.path), input.sha256.clone()));
    let withheld = intake.withheld.clone();
    let whole = Inputs {
        listed: listed.collect(),
        read: &|path| withheld.get(path).map_or_else(|| folder.bytes(path), |copy| Ok(copy.clone())),
    };
    let originals = intake.project.whole_inputs.then_some(&whole);
    let made = |part: &Part| -> Result<(String, PathBuf, Vec<Problem>), CommandError> {
        says("making the documents of each agreement");
        let out = part.laid_out.path("out");
        let of = Making {
            order,
            folder: &part.folder,
            templates: &templates,
            out: &out,
            cache_beside: &folder,
            originals,
        };
        let built = of.build(part.intake.clone(), &[], says)?;
        Ok((part.id.clone(), out, agreements::of_answers(&part.id, built.problems)))
    };
    let mut parts_made = Vec::new();
    for part in parts.iter().filter(|part| !part.silent) {
        let (id, out, answers) = made(part)?;
        intake.problems.extend(answers);
        parts_made.push((id, out));
    }
    let of = Making {
        order,
        folder: &folder,
        templates: &templates,
        out: &out,
        cache_beside: &folder,
        originals: None,
    };
    of.build(intake, &parts_made, says)
}

/// A folder that is built, whole or the part of it that one agreement's documents rest on.
struct Making<'a> {
    order: &'a Order,
    folder: &'a Folder,
    templates: &'a [(String, String)],
    out: &'a Path,
    /// The user's own folder, in which no photos are kept.
    cache_beside: &'a Folder,
    /// The whole folder, where it goes along with the part.
    originals: Option<&'a Inputs<'a>>,
}

impl Making<'_> {
    /// Builds what was read, with the outputs of its agreements, each by its id, beside it.
    fn build(
        &self,
        intake: Intake,
        parts: &[(String, PathBuf)],
        says: &dyn Fn(&'static str),
    ) -> Result<Built, CommandError> {
        let Making { order, folder, templates, out, cache_beside, originals } = *self;
        let Intake { project, problems, withheld } = intake;
        let due = Document::due(&project);
        let documents = match order.only.is_empty() {
            true => due,
            // Of several agreements each has the documents that it calls for.
            false if !project.agreements.is_empty() => {
                due.into_iter().filter(|document| order.only.contains(document)).collect()
            }
            false => order.only.clone(),
        };
        let thumbnails = thumbnails(order.photo_cache.as_deref(), cache_beside, out);
        let (identity, period) = (&project.identity, &project.period);
        let name = pack::pack_name(&identity.name, &identity.reference, period.from, period.to);
        let mut packing = Packing::begin(folder.root(), out, &name, period.to)?;
        let listed =
            project.inputs.iter().map(|input| (Arc::clone(&input.path), input.sha256.clone())).collect();
        let inputs = Inputs {
            listed,
            read: &|path| withheld.get(path).map_or_else(|| folder.bytes(path), |copy| Ok(copy.clone())),
        };
        // Whatever is no document is packed while the documents are being set.
        let packs = |files: &[File]| {
            packing.add_inputs(&inputs)?;
            originals.map_or(Ok(()), |whole| packing.add_originals(whole))?;
            packing.add(files)
        };
        let from = Materials {
            folder,
            project: &project,
            thumbnails: &thumbnails,
            templates,
            documents: &documents,
        };
        let Outputs { documents, problems, .. } = outputs(from, problems, packs, says)?;

        says("packing");
        packing.add(&documents)?;
        for (id, made) in parts {
            packing.take_in(made, id)?;
        }
        let receipt = packing.finish()?;
        Ok(Built { receipt, problems })
    }
}

/// The photos made small that are kept in `cache`, which must lie neither in the project nor where its documents go.
fn thumbnails(cache: Option<&Path>, folder: &Folder, out: &Path) -> Thumbnails {
    cache.map(|cache| Thumbnails::kept_in(cache, &[folder.root(), out])).unwrap_or_default()
}

/// Where photos made small are kept: in the folder that the system has for what a user's programs may lose.
pub(super) fn photo_cache(none: bool) -> Option<PathBuf> {
    let folder = dirs::cache_dir().filter(|_| !none)?;
    Some(folder.join("hillfolio").join("photos"))
}

impl From<Paper> for Document {
    fn from(paper: Paper) -> Document {
        match paper {
            Paper::Acquittal => Document::Acquittal,
            Paper::Offset => Document::Offset,
            Paper::Plan => Document::Plan,
            Paper::Sources => Document::Sources,
        }
    }
}
