//! The offset report: what it holds beside the parts of every report.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    Document, ReportInputs,
    data::{
        Job, actions::Actions, approval::ApprovalBlock, by_plot::ByPlot, carbon::Carbon,
        condition::Condition, monitoring::Monitoring, programme::Planned, report, richness::Richness,
        sightings::Wildlife, species::Species,
    },
};

/// The parts of the offset report alone.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Offset {
    approval: ApprovalBlock,
    monitoring: Monitoring,
    species: Species,
    richness: Richness,
    condition: Condition,
    sightings: Wildlife,
    carbon: Option<Carbon>,
    actions: Actions,
    programme: Vec<Planned>,
    by_plot: ByPlot,
}

/// The offset report to be set.
pub(crate) fn job(inputs: &ReportInputs<'_>) -> Job {
    let own = Offset {
        approval: ApprovalBlock::of(inputs),
        monitoring: Monitoring::of(inputs),
        species: Species::of(inputs),
        richness: Richness::of(inputs),
        condition: Condition::of(inputs),
        sightings: Wildlife::of(inputs),
        carbon: Carbon::of(inputs),
        actions: Actions::of(inputs),
        programme: Planned::all(inputs),
        by_plot: ByPlot::of(inputs),
    };
    report::job(inputs, Document::Offset, "offset.typ", own)
}
