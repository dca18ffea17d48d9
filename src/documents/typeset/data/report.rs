//! What every year-end report holds, whoever it is for.

use schemars::JsonSchema;
use serde::Serialize;
use typst_pdf::PdfStandard;

use crate::typeset::{
    Document, ReportInputs,
    data::{
        Job,
        cover::Cover,
        declaration::Declaration,
        done::Done,
        drawings::{self, Drawings},
        front::{self, Front},
        ground::GroundSection,
        meta::{Colophon, Meta, footer},
        narrative::{self, Chapter},
        photos::{self, PhotoPoints},
        survival::Survival,
        targets::Targets,
        tree,
        work_photos::WorkPhotos,
    },
    title,
};
use hillfolio_core::units;

/// Written as PDF/A-3a, which may carry its source data with it, and PDF/UA-1.
pub(crate) const STANDARDS: &[PdfStandard] = &[PdfStandard::A_3a, PdfStandard::Ua_1];

/// The same in words.
pub(crate) const STANDARD: &str = "PDF/A-3a and PDF/UA-1";

/// The tree of a report: the parts that all have, and those of its own.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Report<Own> {
    meta: Meta,
    footer: String,
    /// The heading of every column of intervals.
    interval_heading: String,
    colophon: Colophon,
    cover: Cover,
    front: Front,
    /// The confidence that intervals are given for.
    confidence: String,
    targets: Targets,
    drawings: Drawings,
    done: Done,
    survival: Survival,
    ground: GroundSection,
    narrative: Vec<Chapter>,
    photos: PhotoPoints,
    work_photos: WorkPhotos,
    declaration: Declaration,
    #[serde(flatten)]
    own: Own,
}

/// `document` to be set by `template`, with the parts of its `own`.
pub(crate) fn job(
    inputs: &ReportInputs<'_>,
    document: Document,
    template: &'static str,
    own: impl Serialize + JsonSchema,
) -> Job {
    let mut drawings = drawings::keyed(&[("map", &inputs.sheets.maps), ("chart", &inputs.sheets.charts)]);
    drawings.extend(front::drawing(inputs));
    let mut images = photos::images(inputs);
    images.extend(inputs.records.iter().cloned());
    let data = Report {
        meta: Meta::of(inputs, title(document, inputs.project), STANDARD),
        footer: footer(inputs),
        interval_heading: format!("{} interval", units::percent(inputs.project.statistics.confidence, 0)),
        colophon: Colophon::of(inputs, STANDARD),
        cover: Cover::of(inputs, document),
        front: Front::of(inputs, document),
        confidence: units::percent(inputs.project.statistics.confidence, 0),
        targets: Targets::of(inputs, document),
        drawings: Drawings::of(inputs),
        done: Done::of(inputs),
        survival: Survival::of(inputs),
        ground: GroundSection::of(inputs),
        narrative: narrative::chapters(inputs),
        photos: PhotoPoints::of(inputs),
        work_photos: WorkPhotos::of(inputs),
        declaration: Declaration::of(inputs),
        own,
    };
    Job {
        name: format!("{}.pdf", document.name()),
        template,
        data: tree(&data),
        images,
        drawings,
        standards: STANDARDS,
    }
}
