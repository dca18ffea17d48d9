//! The offset report: what it holds beside the parts of every report.

use serde::Serialize;

use crate::typeset::{
    Document, Matter,
    data::{
        Job,
        actions::Actions,
        approval::ApprovalBlock,
        by_plot::ByPlot,
        carbon::Carbon,
        condition::Condition,
        monitoring::Monitoring,
        programme::Planned,
        report,
        richness::Richness,
        sightings::Wildlife,
        summary::{self, Summary},
    },
};

/// The parts of the offset report alone.
#[derive(Serialize)]
struct Offset {
    approval: ApprovalBlock,
    monitoring: Monitoring,
    richness: Richness,
    condition: Condition,
    sightings: Wildlife,
    carbon: Option<Carbon>,
    actions: Actions,
    programme: Vec<Planned>,
    by_plot: ByPlot,
}

/// The offset report to be set.
pub(crate) fn job(matter: &Matter<'_>) -> Job {
    let own = Offset {
        approval: ApprovalBlock::of(matter),
        monitoring: Monitoring::of(matter),
        richness: Richness::of(matter),
        condition: Condition::of(matter),
        sightings: Wildlife::of(matter),
        carbon: Carbon::of(matter),
        actions: Actions::of(matter),
        programme: Planned::all(matter),
        by_plot: ByPlot::of(matter),
    };
    let summary = Summary::of(matter, &summary::OFFSET);
    report::job(matter, Document::Offset, "offset.typ", summary, own)
}
