//! The documents: the ledger and the drawings laid out by the embedded templates into PDF.
//!
//! A template receives one tree of ready-to-print values (`data`) and lays it out; it works nothing out. What a user wrote
//! reaches it as values, never as source.

mod data;
mod embedded;
mod engine;
mod failure;
mod fonts;
mod portfolio;
mod proof;
mod raster;
mod setting;
mod spot;
mod view;
mod words;

use std::sync::Arc;

use bytes::Bytes;

use crate::draw::Sheets;
use hillfolio_core::{
    ledger::{CellFigures, Ledger},
    plan::Plan,
    problem::Problem,
    project::{AgreementKind, Photo, Project, Target},
};

pub use engine::{Engine, Pdf};
pub use failure::{Spot, TemplateDiagnostic, TypesettingError};
pub use portfolio::{Doubted, LeftOut, Portfolio, SiteLine, TargetLine, Told};
pub use proof::Proof;
pub use raster::{RasterError, raster};
pub use setting::Setting;
pub use words::printable;

/// A document that can be asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Document {
    /// The year-end acquittal of a grant.
    Acquittal,
    /// The year's report on a vegetation offset.
    Offset,
    /// The landholder's plan: what is to be set out, ordered and done, to be carried up the hill.
    Plan,
    /// The statement by source of a place with several agreements.
    Sources,
}

impl Document {
    /// Every document there is.
    pub const ALL: [Document; 4] = [Document::Acquittal, Document::Offset, Document::Plan, Document::Sources];

    /// The documents that `project` calls for: a plan where there is a planting design. Where an agreement says what it is, that decides: a
    /// grant has its acquittal; an offset has its report, and an acquittal of its money where there is some. Else an offset report where there
    /// is an approval, a commitment or a target under one; an acquittal where there is money or another target, or nothing that calls for an
    /// offset report. Where several agreements stand, each has its own, and the place calls for the statement by source.
    #[must_use]
    pub fn due(project: &Project) -> Vec<Document> {
        let (offset, other): (Vec<&Target>, Vec<&Target>) =
            project.targets.iter().partition(|target| is_offset(target));
        let approved = project.approval.is_some() || !project.commitments.is_empty() || !offset.is_empty();
        let money = !project.budget.is_empty() || !project.spending.is_empty();
        let kind = project.only_agreement().map(|agreement| agreement.kind);
        let calls = |document: &Document| match (document, kind) {
            (Document::Sources, _) => project.agreements.len() > 1,
            (Document::Acquittal | Document::Offset, None) if project.agreements.len() > 1 => false,
            (Document::Acquittal, Some(AgreementKind::Grant)) => true,
            (Document::Acquittal, Some(AgreementKind::Offset)) => money,
            (Document::Acquittal, None) => money || !other.is_empty() || !approved,
            (Document::Offset, Some(kind)) => kind == AgreementKind::Offset,
            (Document::Offset, None) => approved,
            (Document::Plan, _) => project.design.is_some(),
        };
        Document::ALL.into_iter().filter(calls).collect()
    }

    /// Its name, as `--only` takes it and as the file is called.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Document::Acquittal => "acquittal",
            Document::Offset => "offset",
            Document::Plan => "plan",
            Document::Sources => "sources",
        }
    }

    /// The document's title on paper.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Document::Acquittal => "Grant acquittal",
            Document::Offset => "Offset report",
            Document::Plan => "Planting plan",
            Document::Sources => "Statement by source",
        }
    }
}

/// What `document` of `project` is called on paper: an acquittal by what is acquitted.
pub(crate) fn title(document: Document, project: &Project) -> &'static str {
    let kind = project.only_agreement().map(|agreement| agreement.kind);
    match (document, kind) {
        (Document::Acquittal, Some(AgreementKind::Offset)) => "Acquittal of the money of an offset",
        (document, _) => document.title(),
    }
}

/// Whether a target stands under an offset's approval.
pub(crate) fn is_offset(target: &Target) -> bool {
    target.under.trim().eq_ignore_ascii_case("offset")
}

/// A name that no document has.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("no document is called `{0}`; there are: acquittal, offset, plan, sources")]
pub struct DocumentUnknown(pub String);

impl std::str::FromStr for Document {
    type Err = DocumentUnknown;

    fn from_str(name: &str) -> Result<Document, DocumentUnknown> {
        let found = Document::ALL.into_iter().find(|document| document.name() == name.trim());
        found.ok_or_else(|| DocumentUnknown(name.to_owned()))
    }
}

/// JPEG quality of a printed photo, 1 to 100.
pub const PICTURE_QUALITY: u8 = 80;

/// Whether `bytes` are a printed list of corrections, as its title says.
#[must_use]
pub fn is_corrections(bytes: &[u8]) -> bool {
    let title = data::CORRECTIONS.as_bytes();
    bytes.starts_with(b"%PDF") && bytes.windows(title.len()).any(|piece| piece == title)
}

/// The photos that documents print, each with the pixels of its longest side.
#[must_use]
pub fn photos(project: &Project) -> Vec<(&Photo, u32)> {
    data::photos_placed(project)
}

/// Empties the typesetter's memory of what the documents before the last few were made of.
pub fn forget() {
    comemo::evict(KEPT);
}

/// For how many documents' batches an unused memory of the typesetter is kept.
const KEPT: usize = 2;

/// A photo shrunk to the size of print.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PrintPicture {
    /// The photo's path inside the project folder, by which it is known.
    pub path: Arc<str>,
    /// The picture as JPEG, upright, without EXIF.
    pub jpeg: Bytes,
    /// Width in pixels.
    pub width: u32,
    /// Height in pixels.
    pub height: u32,
}

/// What the documents are made from.
#[derive(Debug, Clone, Copy)]
pub struct ReportInputs<'a> {
    /// What the folder says.
    pub project: &'a Project,
    /// The plan that goes up the hill, where the project has a planting design.
    pub plan: Option<&'a Plan>,
    /// Every figure.
    pub ledger: &'a Ledger,
    /// What stands in every cell of the ground, where there is a terrain model.
    pub cells: Option<&'a CellFigures>,
    /// Maps and charts.
    pub sheets: &'a Sheets,
    /// The photos, already shrunk.
    pub pictures: &'a [PrintPicture],
    /// What was found wrong with the folder; the doubts among it are printed.
    pub problems: &'a [Problem],
    /// The ledger as data files, name and bytes, which the acquittal carries.
    pub records: &'a [(String, Bytes)],
    /// The program's version.
    pub version: &'a str,
}

/// The page of documentation on what each template finds, in Markdown; made from the types.
#[must_use]
pub fn fields_page() -> String {
    data::fields_page()
}

/// The built-in templates: path under the folder of templates, text.
#[must_use]
pub fn templates() -> &'static [(&'static str, &'static str)] {
    embedded::TEMPLATES
}

/// What a document's template finds, as JSON: the tree `data` with every figure by its id, and the keys of `images`.
///
/// # Errors
/// The tree can't be told as JSON.
pub fn found_by_template(inputs: &ReportInputs<'_>, document: Document) -> Result<String, serde_json::Error> {
    data::found(inputs, document)
}
