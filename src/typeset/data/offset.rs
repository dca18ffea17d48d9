//! The offset report, whole.

use serde::Serialize;
use typst_pdf::PdfStandard;

use crate::{
    typeset::{
        Document, Matter,
        data::{
            Job,
            actions::Actions,
            approval::ApprovalBlock,
            by_plot::ByPlot,
            carbon::Carbon,
            condition::Condition,
            cover::{self, Cover},
            declaration::Declaration,
            done::Done,
            drawings::{self, Drawings},
            ground::GroundSection,
            meta::{Colophon, Meta, footer},
            methods,
            monitoring::Monitoring,
            narrative::{self, Chapter},
            notes::{self, FileNotes},
            photos::{self, PhotoPoints},
            programme::Planned,
            richness::Richness,
            sightings::Wildlife,
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

/// The tree of the offset report.
#[derive(Serialize)]
struct Offset {
    meta: Meta,
    footer: String,
    /// The heading of every column of intervals.
    interval_heading: String,
    colophon: Colophon,
    cover: Cover,
    approval: ApprovalBlock,
    summary: Summary,
    targets: Targets,
    drawings: Drawings,
    done: Done,
    survival: Survival,
    monitoring: Monitoring,
    richness: Richness,
    condition: Condition,
    sightings: Wildlife,
    carbon: Option<Carbon>,
    ground: GroundSection,
    actions: Actions,
    programme: Vec<Planned>,
    narrative: Vec<Chapter>,
    photos: PhotoPoints,
    by_plot: ByPlot,
    notes: Vec<FileNotes>,
    declaration: Declaration,
}

/// The offset report to be set.
pub(crate) fn job(matter: &Matter<'_>) -> Job {
    let standard = "PDF/A-3a and PDF/UA-1";
    let mut images = drawings::images(matter);
    images.extend(photos::images(matter));
    images.extend(cover::images(matter));
    images.extend(matter.records.iter().cloned());
    let data = Offset {
        meta: Meta::of(matter, Document::Offset.title(), standard),
        footer: footer(matter),
        interval_heading: format!("{} interval", units::percent(matter.project.statistics.confidence, 0)),
        colophon: Colophon::of(matter, standard),
        cover: Cover::of(matter, Document::Offset),
        approval: ApprovalBlock::of(matter),
        summary: Summary::of(matter, &summary::OFFSET),
        targets: Targets::of(matter, Document::Offset),
        drawings: Drawings::of(matter),
        done: Done::of(matter),
        survival: Survival::of(matter),
        monitoring: Monitoring::of(matter),
        richness: Richness::of(matter),
        condition: Condition::of(matter),
        sightings: Wildlife::of(matter),
        carbon: Carbon::of(matter),
        ground: GroundSection::of(matter),
        actions: Actions::of(matter),
        programme: Planned::all(matter),
        narrative: narrative::chapters(matter),
        photos: PhotoPoints::of(matter),
        by_plot: ByPlot::of(matter),
        notes: notes::by_file(matter),
        declaration: Declaration::of(matter),
    };
    Job {
        name: format!("{}.pdf", Document::Offset.name()),
        template: "offset.typ",
        data: methods::with_workings(matter, tree(&data)),
        images,
        standards: STANDARDS,
    }
}
