//! What every year-end report holds, whoever it is for.

use serde::Serialize;
use typst_pdf::PdfStandard;

use crate::typeset::{
    Document, Matter,
    data::{
        Job,
        cover::{self, Cover},
        declaration::Declaration,
        done::Done,
        drawings::{self, Drawings},
        ground::GroundSection,
        meta::{Colophon, Meta, footer},
        methods,
        narrative::{self, Chapter},
        notes::{self, FileNotes},
        photos::{self, PhotoPoints},
        summary::Summary,
        survival::Survival,
        targets::Targets,
        tree,
    },
};
use hillfolio_core::units;

/// Written as PDF/A-3a, which may carry its source data with it, and PDF/UA-1.
pub(crate) const STANDARDS: &[PdfStandard] = &[PdfStandard::A_3a, PdfStandard::Ua_1];

/// The same in words.
pub(crate) const STANDARD: &str = "PDF/A-3a and PDF/UA-1";

/// The tree of a report: the parts that all have, and those of its own.
#[derive(Serialize)]
struct Report<Own> {
    meta: Meta,
    footer: String,
    /// The heading of every column of intervals.
    interval_heading: String,
    colophon: Colophon,
    cover: Cover,
    summary: Summary,
    targets: Targets,
    drawings: Drawings,
    done: Done,
    survival: Survival,
    ground: GroundSection,
    narrative: Vec<Chapter>,
    photos: PhotoPoints,
    notes: Vec<FileNotes>,
    declaration: Declaration,
    #[serde(flatten)]
    own: Own,
}

/// `document` to be set by `template`, with `summary` at its head and the parts of its `own`.
pub(crate) fn job(
    matter: &Matter<'_>,
    document: Document,
    template: &'static str,
    summary: Summary,
    own: impl Serialize,
) -> Job {
    let mut drawings = drawings::keyed(&[("map", &matter.sheets.maps), ("chart", &matter.sheets.charts)]);
    drawings.extend(cover::drawing(matter));
    let mut images = photos::images(matter);
    images.extend(matter.records.iter().cloned());
    let data = Report {
        meta: Meta::of(matter, document.title(), STANDARD),
        footer: footer(matter),
        interval_heading: format!("{} interval", units::percent(matter.project.statistics.confidence, 0)),
        colophon: Colophon::of(matter, STANDARD),
        cover: Cover::of(matter, document),
        summary,
        targets: Targets::of(matter, document),
        drawings: Drawings::of(matter),
        done: Done::of(matter),
        survival: Survival::of(matter),
        ground: GroundSection::of(matter),
        narrative: narrative::chapters(matter),
        photos: PhotoPoints::of(matter),
        notes: notes::by_file(matter),
        declaration: Declaration::of(matter),
        own,
    };
    Job {
        name: format!("{}.pdf", document.name()),
        template,
        data: methods::with_workings(matter, tree(&data)),
        images,
        drawings,
        standards: STANDARDS,
    }
}
