//! The workings: how each figure of a folder's documents came about, one book for all of them.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{
        Job,
        cover::Cover,
        drawings::{self, Drawings, Picture},
        ground::SoilFactors,
        index::printed,
        meta::{Colophon, Meta, footer},
        methods::Workings,
        notes::{self, FileNotes},
        report::{STANDARD, STANDARDS},
        tree,
    },
};
use hillfolio_core::units;

/// The title on paper.
const TITLE: &str = "Workings";

/// The tree of the workings.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Book {
    meta: Meta,
    footer: String,
    /// The heading of every column of intervals.
    interval_heading: String,
    confidence: String,
    colophon: Colophon,
    cover: Cover,
    /// The documents whose figures they are.
    documents: Vec<String>,
    notes: Vec<FileNotes>,
    soil: Option<SoilFactors>,
    soil_loss_maps: Vec<Picture>,
    /// Charts of figures that the reports give as tables.
    charts: Vec<Picture>,
    workings: Workings,
}

/// The workings of the `documents`, to be set.
pub(crate) fn job(inputs: &ReportInputs<'_>, documents: &[Job]) -> Job {
    let ids: BTreeSet<String> = documents.iter().flat_map(|document| printed(&document.data)).collect();
    let project = inputs.project;
    let confidence = units::percent(project.statistics.confidence, 0);
    let drawings = Drawings::of(inputs);
    let data = Book {
        meta: Meta::of(inputs, TITLE, STANDARD),
        footer: format!("{TITLE}  ·  {}", footer(inputs)),
        interval_heading: format!("{confidence} interval"),
        confidence,
        colophon: Colophon::of(inputs, STANDARD),
        cover: Cover::of_workings(inputs, TITLE),
        documents: documents.iter().map(|document| document.name.clone()).collect(),
        notes: notes::by_file(inputs),
        soil: SoilFactors::of(inputs),
        charts: drawings.further_charts(),
        soil_loss_maps: drawings.soil_loss_maps,
        workings: Workings::of(inputs.ledger, &project.inputs, &project.areas, &ids)
            .taken_from(&project.originals),
    };
    Job {
        name: "workings.pdf".to_owned(),
        template: "workings.typ",
        data: tree(&data),
        images: Vec::new(),
        drawings: drawings::keyed(&[("map", &inputs.sheets.maps), ("chart", &inputs.sheets.charts)]),
        standards: STANDARDS,
    }
}
