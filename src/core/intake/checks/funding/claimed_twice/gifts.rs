//! One gift that stands as a contribution received and as receipts in kind, and not as the same.

use crate::{
    intake::checks::funding::{claimed_twice::promises::one_giver, rows_of, sum},
    problem::{Funding, Place, Problem},
    project::{Agreement, Contribution, Payer, Project, Spending},
    sharing::{FinancialYears, Shares},
    units::Money,
};

pub(super) fn check(project: &Project, shares: &Shares, problems: &mut Vec<Problem>) {
    for agreement in &project.agreements {
        for promise in agreement.contributions.iter().filter(|one| one.received > Money::default()) {
            problems.extend(unlike(project, shares, agreement, promise));
        }
    }
}

/// What came of a promise, where the receipts in kind of the same giver and year say otherwise: they show the contribution, and are no second one.
fn unlike(
    project: &Project,
    shares: &Shares,
    agreement: &Agreement,
    promise: &Contribution,
) -> Option<Problem> {
    let payer = Payer::Agreement(agreement.id.clone());
    let year = FinancialYears::of(agreement, project.period).span(promise.year);
    let of_giver = |row: &Spending| {
        let named = row.payee.as_deref().is_some_and(|payee| one_giver(payee, &promise.who));
        row.in_kind && named && year.holds(agreement.dates.day(row))
    };
    let (mut whole, mut part, mut without_tax) = (Money::default(), Money::default(), Money::default());
    let mut rows = Vec::new();
    for (row, (_, paid)) in project.spending.iter().zip(&shares.spending) {
        if !of_giver(row) {
            continue;
        }
        whole = whole + row.amount;
        for share in paid.iter().filter(|share| share.payer == payer) {
            part = part + share.amount;
            without_tax = without_tax + (share.amount - share.tax.unwrap_or_default());
        }
        rows.push(&row.source);
    }
    let alike = part == promise.received || without_tax == promise.received;
    if rows.is_empty() || promise.in_kind && alike || !promise.in_kind && whole != promise.received {
        return None;
    }
    let kind = Funding::ContributionUnlikeReceipts {
        who: promise.who.clone(),
        received: sum(project, promise.received),
        how: if promise.in_kind { "in kind" } else { "in cash" },
        agreement: name_of(agreement, project, promise),
        receipts: rows_of(rows.iter().copied()),
        whole: sum(project, whole),
        part: sum(project, part),
    };
    Some(Problem::new(kind, Place::row(&promise.source).column("received")))
}

fn name_of(agreement: &Agreement, project: &Project, promise: &Contribution) -> String {
    format!("{} for {}", agreement.id, FinancialYears::of(agreement, project.period).words(promise.year))
}
