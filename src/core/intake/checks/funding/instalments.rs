//! Money of a funder held against what it approved.

use crate::{
    intake::checks::funding::{name, place, sum},
    problem::{Funding, Place, Problem},
    project::{Agreement, DatedSum, Instalment, Project},
    sharing::{BudgetOf, budget_lines},
    units::{Money, day},
};

/// Money of one day and sum that stands twice under an agreement: instalments, interest, money given back.
fn twice(project: &Project, agreement: &Agreement, problems: &mut Vec<Problem>) {
    let of = |sums: &[DatedSum]| {
        sums.iter().map(|one| (one.on, one.amount, one.source.clone())).collect::<Vec<_>>()
    };
    let instalments = agreement.instalments.iter();
    let instalments = instalments.map(|one| (one.day(), one.amount, one.source.clone())).collect();
    let kinds = [
        ("instalment", instalments),
        ("interest", of(&agreement.interest)),
        ("money given back", of(&agreement.returned)),
    ];
    for (what, sums) in kinds {
        for (at, (on, amount, source)) in sums.iter().enumerate() {
            let first = sums[..at].iter().find(|(other, same, _)| other == on && same == amount);
            let Some((.., first)) = first else { continue };
            let kind = Funding::MoneyInTwice {
                what,
                sum: sum(project, *amount),
                day: day(*on),
                agreement: name(&agreement.id),
                first: place(first),
            };
            problems.push(Problem::new(kind, Place::row(source).column("amount")));
        }
    }
}

/// Instalments, paid or due, that come to more than the whole grant as it stands approved at the period's end.
pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    // What stands in the whole folder is told of it, once.
    if project.originals.is_empty() {
        project.agreements.iter().for_each(|agreement| twice(project, agreement, problems));
    }
    for agreement in project.agreements.iter().filter(|one| !one.budget.is_empty()) {
        let period = agreement.period_beside(project.period);
        let lines = budget_lines(agreement, period, BudgetOf::WholeLife);
        let approved: Money = lines.iter().map(|line| line.cash).sum();
        let back: Money = agreement.returned.iter().map(|one| one.amount).sum();
        let mut instalments: Vec<&Instalment> = agreement.instalments.iter().collect();
        // What came is measured first: of a plan of payments only what goes beyond the grant beside it is too much.
        // What a part of a folder says of a later period is told of the whole, so that the papers of a closed year stay as they were.
        instalments.retain(|one| project.originals.is_empty() || one.day() <= period.to);
        instalments.sort_by_key(|one| (!one.received, one.day()));
        let mut together = Money::ZERO;
        for one in instalments {
            let before = together;
            together = together + one.amount;
            // Said once, of the one that goes beyond: those after it do so too.
            if together - back > approved && before - back <= approved {
                let kind = Funding::ReceivedBeyondGrant {
                    sum: sum(project, one.amount),
                    agreement: name(&agreement.id),
                    together: sum(project, together - back),
                    approved: sum(project, approved),
                    apart: sum(project, together - back - approved),
                };
                problems.push(Problem::new(kind, Place::row(&one.source).column("amount")));
            }
        }
    }
}
