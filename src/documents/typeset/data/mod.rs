//! The tree of ready-to-print values that each template receives: a file a section.

mod accounts;
mod acquittal;
mod actions;
mod approval;
mod by_plot;
mod carbon;
mod condition;
mod corrections;
mod cover;
mod declaration;
mod done;
mod drawings;
mod ends;
mod evidence;
mod field_book;
mod fields;
mod front;
mod ground;
mod ground_cover;
mod index;
mod meta;
mod methods;
mod money;
mod monitoring;
mod narrative;
mod notes;
mod offset;
mod photos;
mod places;
mod plan;
mod portfolio;
mod printed;
mod programme;
mod report;
mod richness;
mod sheet;
mod sightings;
mod sources;
mod species;
mod summary;
mod survival;
mod targets;
mod work_photos;
mod workings;

use std::collections::BTreeMap;

use bytes::Bytes;
use serde_json::Value;
use typst_pdf::PdfStandard;

pub(crate) use corrections::TITLE as CORRECTIONS;
pub(crate) use corrections::job as corrections;
pub(crate) use field_book::job as field_book;
pub(crate) use fields::page as fields_page;
pub(crate) use photos::placed as photos_placed;
pub(crate) use portfolio::job as portfolio;

use crate::{
    draw::svg::Markup,
    typeset::{Document, ReportInputs, data::printed::Printed},
};

/// One document to be set.
pub(crate) struct Job {
    /// Its name in the pack.
    pub(crate) name: String,
    /// The template that sets it.
    pub(crate) template: &'static str,
    /// What the template receives.
    pub(crate) data: Value,
    /// Pictures and attachments by key.
    pub(crate) images: Vec<(String, Bytes)>,
    /// Drawings by key.
    pub(crate) drawings: Vec<(String, Markup)>,
    /// What the file is written as.
    pub(crate) standards: &'static [PdfStandard],
}

/// A data tree as plain values.
fn tree(data: &(impl serde::Serialize + schemars::JsonSchema)) -> Value {
    // Our own structs with string keys always serialise; an empty tree would fail in the template, with its line.
    serde_json::to_value(data).unwrap_or_default()
}

/// Everything that has to be set: the documents wanted, the workings of all of them, then a sheet for every map.
pub(crate) fn jobs(inputs: &ReportInputs<'_>, wanted: &[Document]) -> Vec<Job> {
    let documents = Document::ALL.into_iter().filter(|document| wanted.contains(document));
    let mut jobs: Vec<Job> = documents
        .map(|document| match document {
            Document::Acquittal => acquittal::job(inputs),
            Document::Offset => offset::job(inputs),
            Document::Plan => plan::job(inputs),
            Document::Sources => sources::job(inputs),
        })
        .collect();
    if !jobs.is_empty() {
        jobs.push(workings::job(inputs, &jobs));
    }
    let sheets = inputs.sheets;
    let maps = sheets.maps.iter().chain(sheets.wall.iter().map(|(map, _)| map));
    let maps = maps.chain(&sheets.rows).chain(&sheets.large_rows);
    jobs.extend(maps.map(|map| sheet::job(inputs, map)));
    jobs
}

/// Puts every figure of the ledger by its id into the tree of each of `jobs`, for templates that were not made for this program alone.
pub(crate) fn with_figures(inputs: &ReportInputs<'_>, jobs: &mut [Job]) {
    let ids = inputs.ledger.iter().map(|(id, _)| id);
    let figures: BTreeMap<&str, Printed> =
        ids.map(|id| (id.as_str(), Printed::of(inputs.ledger, id))).collect();
    for job in jobs {
        if let Value::Object(tree) = &mut job.data {
            tree.insert("figures".to_owned(), serde_json::json!(figures));
        }
    }
}

/// What the template of `document` finds, as JSON.
///
/// # Errors
/// The tree can't be told as JSON.
pub(crate) fn found(inputs: &ReportInputs<'_>, document: Document) -> Result<String, serde_json::Error> {
    let mut jobs = jobs(inputs, &[document]);
    jobs.truncate(1);
    with_figures(inputs, &mut jobs);
    let found = jobs.into_iter().next().map(|job| {
        let pictures = job.images.into_iter().map(|(key, _)| key);
        let images: Vec<String> = pictures.chain(job.drawings.into_iter().map(|(key, _)| key)).collect();
        serde_json::json!({ "template": job.template, "data": job.data, "images": images })
    });
    serde_json::to_string_pretty(&found)
}
