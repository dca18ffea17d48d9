//! Agreements that have nothing to report of a period.

use crate::{
    project::{Agreement, Payer, Project},
    sharing::Shares,
};

/// Whether nothing of `agreement` falls into its reporting period: its term lies before or after it, and no money came or went, no work was
/// done and nothing was planted under it then. It has no document for that period.
#[must_use]
pub fn is_silent(project: &Project, agreement: &Agreement, shares: &Shares) -> bool {
    let period = agreement.period_beside(project.period);
    if agreement.term.from <= period.to && period.from <= agreement.term.to {
        return false;
    }
    let payer = Payer::Agreement(agreement.id.clone());
    // What is dated outside the term is listed under it, and so is something to report.
    let spent =
        shares.costs(project, &payer).any(|cost| period.holds(cost.day) || period.holds(cost.row.date));
    let came = agreement.received_by(period.to).any(|one| period.holds(one.day()));
    let dated = [&agreement.interest, &agreement.returned, &agreement.committed];
    let moved = dated.into_iter().flatten().any(|one| period.holds(one.on));
    let works = project.works.iter().zip(&shares.works);
    let worked = works
        .filter(|(row, _)| period.holds(row.date))
        .any(|(_, of)| of.of.iter().any(|(one, _)| *one == payer));
    let plantings = project.plantings.iter().zip(&shares.plantings);
    let planted = plantings.filter(|(row, _)| period.holds(row.date)).any(|(_, of)| *of.owner() == payer);
    !(spent || came || moved || worked || planted)
}
