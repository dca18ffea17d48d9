//! The grant acquittal: what it holds beside the parts of every report.

use serde::Serialize;

use crate::typeset::{
    Document, Matter,
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
pub(crate) fn job(matter: &Matter<'_>) -> Job {
    let own =
        Acquittal { species: Species::of(matter), money: Money::of(matter), receipts: Receipt::all(matter) };
    let summary = Summary::of(matter, &summary::ACQUITTAL);
    report::job(matter, Document::Acquittal, "acquittal.typ", summary, own)
}
