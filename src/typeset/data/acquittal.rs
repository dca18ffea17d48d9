//! The grant acquittal, whole.

use serde::Serialize;
use typst_pdf::PdfStandard;

use crate::{
    typeset::{
        Document, Matter,
        data::{
            Job,
            cover::{self, Cover},
            declaration::Declaration,
            done::Done,
            drawings::{self, Drawings},
            evidence::Receipt,
            ground::GroundSection,
            meta::{Colophon, Meta, footer},
            methods,
            money::Money,
            narrative::{self, Chapter},
            notes::{self, FileNotes},
            photos::{self, PhotoPoints},
            species::Species,
            summary::{self, Summary},
            survival::Survival,
            targets::Targets,
            tree,
        },
    },
    units,
};

/// Written as PDF/A-3a, which may carry its source data with it, and PDF/UA-1.
const STANDARDS: &[PdfStandard] = &[PdfStandard::A_3a, PdfStandard::Ua_1];

/// The tree of the acquittal.
#[derive(Serialize)]
struct Acquittal {
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
    species: Species,
    survival: Survival,
    ground: GroundSection,
    money: Money,
    narrative: Vec<Chapter>,
    photos: PhotoPoints,
    receipts: Vec<Receipt>,
    notes: Vec<FileNotes>,
    declaration: Declaration,
}

/// The acquittal to be set.
pub(crate) fn job(matter: &Matter<'_>) -> Job {
    let standard = "PDF/A-3a and PDF/UA-1";
    let mut images = drawings::images(matter);
    images.extend(photos::images(matter));
    images.extend(cover::images(matter));
    images.extend(matter.records.iter().cloned());
    let data = Acquittal {
        meta: Meta::of(matter, Document::Acquittal.title(), standard),
        footer: footer(matter),
        interval_heading: format!("{} interval", units::percent(matter.project.statistics.confidence, 0)),
        colophon: Colophon::of(matter, standard),
        cover: Cover::of(matter, Document::Acquittal),
        summary: Summary::of(matter, &summary::ACQUITTAL),
        targets: Targets::of(matter, Document::Acquittal),
        drawings: Drawings::of(matter),
        done: Done::of(matter),
        species: Species::of(matter),
        survival: Survival::of(matter),
        ground: GroundSection::of(matter),
        money: Money::of(matter),
        narrative: narrative::chapters(matter),
        photos: PhotoPoints::of(matter),
        receipts: Receipt::all(matter),
        notes: notes::by_file(matter),
        declaration: Declaration::of(matter),
    };
    Job {
        name: format!("{}.pdf", Document::Acquittal.name()),
        template: "acquittal.typ",
        data: methods::with_workings(matter, tree(&data)),
        images,
        standards: STANDARDS,
    }
}
