//! The grant acquittal: what it holds beside the parts of every report.

use serde::Serialize;

use crate::typeset::{
    Document, ReportInputs,
    data::{
        Job,
        evidence::Receipt,
        money::Money,
        report,
        species::Species,
        summary::{self, Summary},
    },
};

/// The parts of the acquittal alone.
#[derive(Serialize)]
struct Acquittal {
    species: Species,
    money: Money,
    receipts: Vec<Receipt>,
}

/// The acquittal to be set.
pub(crate) fn job(inputs: &ReportInputs<'_>) -> Job {
    let own =
        Acquittal { species: Species::of(inputs), money: Money::of(inputs), receipts: Receipt::all(inputs) };
    let summary = Summary::of(inputs, &summary::ACQUITTAL);
    report::job(inputs, Document::Acquittal, "acquittal.typ", summary, own)
}
