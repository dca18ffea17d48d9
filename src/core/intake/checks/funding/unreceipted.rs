//! Payments of an agreement that bear no number of a receipt.

use crate::{
    intake::checks::funding::{name, rows_of, sum},
    problem::{Funding, Place, Problem},
    project::{Payer, Project},
    sharing::{Cost, Shares},
    units::Money,
};

/// Says once of an agreement which of its payments up to the period's end no receipt shows.
pub(super) fn check(project: &Project, shares: &Shares, problems: &mut Vec<Problem>) {
    for agreement in &project.agreements {
        let payer = Payer::Agreement(agreement.id.clone());
        let until = agreement.period_beside(project.period).to;
        let bare = |cost: &Cost<'_>| {
            cost.admitted
                && !cost.row.in_kind
                && cost.day <= until
                && cost.amount != Money::ZERO
                && cost.row.receipt.as_deref().is_none_or(|receipt| receipt.trim().is_empty())
        };
        let costs: Vec<Cost<'_>> = shares.costs(project, &payer).filter(bare).collect();
        let Some(first) = costs.first() else { continue };
        let kind = Funding::ReceiptMissing {
            rows: match costs.len() {
                1 => "one payment".to_owned(),
                several => format!("{several} payments"),
            },
            agreement: name(&agreement.id),
            sum: sum(project, costs.iter().map(|cost| cost.amount).sum()),
            places: rows_of(costs.iter().map(|cost| &cost.row.source)),
        };
        problems.push(Problem::new(kind, Place::row(&first.row.source).column("receipt")));
    }
}
