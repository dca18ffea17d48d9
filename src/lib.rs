//! Hillfolio turns a planting project's folder into checked figures, maps and typeset reports.
//!
//! The whole run stands in [`build`]: a folder is read and checked, figures are worked out and entered in the ledger, maps
//! and charts are drawn, documents are typeset, and everything is packed, all at once or not at all.

pub mod cli;
pub mod console;
pub mod draw;
pub mod estimate;
pub mod exports;
pub mod geometry;
pub mod intake;
pub mod ledger;
pub mod pack;
pub mod plan;
pub mod portfolio;
pub mod problem;
pub mod project;
pub mod source;
pub mod terrain;
pub mod typeset;
pub mod units;

use std::{path::Path, path::PathBuf, sync::Arc};

use intake::{Folder, Intake};
use ledger::Explanation;
use pack::{File, Inputs, Receipt};
use portfolio::{Made, Task};
use problem::{Evidence, Place, Problem};
use project::{Photo, Project};
use typeset::{Document, Engine, Matter, PrintPicture};

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
    /// A template failed.
    #[error(transparent)]
    Typeset(#[from] typeset::Failure),
    /// A layer or a table could not be made.
    #[error(transparent)]
    Export(#[from] exports::Failure),
    /// Something could not be written.
    #[error(transparent)]
    Pack(#[from] pack::Failure),
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
    let Intake { project, mut problems, withheld } =
        intake::read(&folder, &typeset::printable()).map_err(Failure::Folder)?;
    let templates = order.templates.as_deref().map(intake::templates).transpose()?.unwrap_or_default();

    says("working out the figures");
    let plan = plan::make(&project);
    let ledger = ledger::fill_with(&project, plan.as_ref());

    says("drawing maps and charts, making photos small");
    let (sheets, (pictures, unreadable)) =
        rayon::join(|| draw::sheets(&project, plan.as_ref(), &ledger), || pictures(&folder, &project));
    problems.extend(unreadable);
    problem::list(&mut problems);

    says("typesetting");
    let records = ledger::files(&ledger, &project, &problems, VERSION);
    let matter = Matter {
        project: &project,
        plan: plan.as_ref(),
        ledger: &ledger,
        sheets: &sheets,
        pictures: &pictures,
        problems: &problems,
        records: &records,
        version: VERSION,
    };
    let wanted = if order.only.is_empty() { Document::due(&project) } else { order.only.clone() };
    let documents = Engine::new(&templates).documents(&matter, &wanted)?;

    says("packing");
    let mut files: Vec<File> =
        documents.into_iter().map(|document| File { path: document.name, bytes: document.bytes }).collect();
    let records = records.into_iter().map(|(name, bytes)| (format!("data/{name}"), bytes));
    let exported = exports::files(&project, plan.as_ref(), &ledger, &problems)?;
    files.extend(records.chain(exported).map(|(path, bytes)| File { path, bytes }));
    let name = pack::pack_name(
        &project.identity.name,
        &project.identity.reference,
        project.period.from,
        project.period.to,
    );
    let inputs = Inputs {
        listed: project.inputs.iter().map(|input| (Arc::clone(&input.path), input.sha256.clone())).collect(),
        read: &|path| withheld.get(path).map_or_else(|| folder.bytes(path), |copy| Ok(copy.clone())),
    };
    let out = order.out.clone().unwrap_or_else(|| order.folder.join("out"));
    let receipt = pack::write(&order.folder, &out, &files, &name, &inputs, project.period.to)?;
    Ok(Built { receipt, problems })
}

/// Builds one project of a portfolio.
#[must_use]
pub fn build_member(task: &Task) -> Made {
    let order = Order {
        folder: task.folder.clone(),
        out: Some(task.out.clone()),
        only: Vec::new(),
        templates: task.templates.clone(),
    };
    match build(&order, &|_| {}) {
        Ok(built) => Made::Documents(built.problems),
        Err(Failure::Folder(problems)) => Made::Errors(problems),
        Err(failure) => Made::Not(with_causes(&failure)),
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

/// The photos that documents print, made small, in order; those that can't be decoded become doubts.
#[must_use]
pub fn pictures(folder: &Folder, project: &Project) -> (Vec<PrintPicture>, Vec<Problem>) {
    use rayon::prelude::*;
    let shrunk: Vec<Result<PrintPicture, Problem>> =
        typeset::photos(project).into_par_iter().map(|photo| picture(folder, photo)).collect();
    let (mut pictures, mut problems) = (Vec::new(), Vec::new());
    for outcome in shrunk {
        match outcome {
            Ok(picture) => pictures.push(picture),
            Err(problem) => problems.push(problem),
        }
    }
    (pictures, problems)
}

fn picture(folder: &Folder, photo: &Photo) -> Result<PrintPicture, Problem> {
    let bytes = folder.bytes(&photo.path)?;
    let picture = draw::photo::shrink(&bytes, typeset::PICTURE_PIXELS, typeset::PICTURE_QUALITY).map_err(
        |failure| {
            let kind = Evidence::PictureUnreadable { why: failure.to_string() };
            Problem::new(kind, Place::file(Arc::clone(&photo.path)))
        },
    )?;
    Ok(PrintPicture {
        path: Arc::clone(&photo.path),
        jpeg: picture.jpeg,
        width: picture.width,
        height: picture.height,
    })
}
