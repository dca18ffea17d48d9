//! Costs outside the days of their agreement, shares that leave something over, and rows that nobody knows who pays for.

use rust_decimal::Decimal;

use crate::{
    intake::checks::funding::{name, payers, place},
    problem::{Funding, Place, Problem},
    project::{Agreement, Claims, DateBasis, Payer, Project, Spending},
    sharing::{PaidShare, RowShares, Settled, Shares, unweighed},
    source::Row,
    units::{Money, day, span},
};

pub(super) fn check(project: &Project, shares: &Shares, problems: &mut Vec<Problem>) {
    for agreement in &project.agreements {
        problems.extend(day_missing(project, shares, agreement));
    }
    for one in unweighed(project, shares) {
        let found = match one.in_force {
            false => "none of those that it names is in force then".to_owned(),
            true if one.within.from == chrono::NaiveDate::MIN => {
                format!("nothing was done by {}", day(one.within.to))
            }
            true => format!("nothing was done from {}", span(one.within.from, one.within.to)),
        };
        let kind = Funding::SharingUnweighed {
            name: one.name.trim().to_owned(),
            by: one.rule.by.words(),
            rule: place(&one.rule.source),
            found,
        };
        problems.push(Problem::new(kind, Place::row(one.source)));
    }
    for (row, (_, parts)) in project.spending.iter().zip(&shares.spending) {
        unclaimed(&row.claims, &row.source, problems);
        for part in parts.iter().filter(|part| !part.admitted) {
            if let Payer::Agreement(id) = &part.payer
                && let Some(agreement) = project.agreement(id)
            {
                problems.push(outside(row, agreement));
            }
        }
    }
    for row in &project.works {
        unclaimed(&row.claims, &row.source, problems);
        owner(&row.claims, row.quantity.is_some().then_some("quantity"), &row.source, problems);
        for id in outside_of(project, &row.claims, |agreement| agreement.admits(row.date)) {
            problems.push(Problem::new(of_day(row.date, id, WORKED), Place::row(&row.source).column("date")));
        }
    }
    for row in &project.plantings {
        owner(&row.claims, Some("stems"), &row.source, problems);
        for id in outside_of(project, &row.claims, |agreement| agreement.admits(row.date)) {
            problems
                .push(Problem::new(of_day(row.date, id, PLANTED), Place::row(&row.source).column("date")));
        }
    }
    let spending = project.spending.iter().zip(&shares.spending).map(|(row, (of, _))| (&row.source, of));
    unclear("payments", spending.collect(), problems);
    unclear("works", project.works.iter().map(|row| &row.source).zip(&shares.works).collect(), problems);
    unclear(
        "plantings",
        project.plantings.iter().map(|row| &row.source).zip(&shares.plantings).collect(),
        problems,
    );
}

/// Says once of an agreement which of its receipts lack the day by which it counts, where that could be another than that of payment.
fn day_missing(project: &Project, shares: &Shares, agreement: &Agreement) -> Option<Problem> {
    let (column, has): (&'static str, fn(&Spending) -> bool) = match agreement.dates {
        DateBasis::Paid => return None,
        DateBasis::Invoice => ("invoiced", |row| row.invoiced.is_some()),
        DateBasis::Delivered => ("delivered", |row| row.delivered.is_some()),
    };
    let bears = |parts: &[PaidShare]| {
        parts.iter().any(|part| part.payer.is(&agreement.id) && part.amount != Money::ZERO)
    };
    let rows: Vec<&Row> = project
        .spending
        .iter()
        .zip(&shares.spending)
        .filter(|(row, (_, parts))| bears(parts) && !row.in_kind && !has(row))
        .map(|(row, _)| &row.source)
        .collect();
    let first = rows.first()?;
    let kind = Funding::CountedDayMissing {
        agreement: name(&agreement.id),
        day: agreement.dates.words(),
        rows: rows.len().to_string(),
        column,
    };
    Some(Problem::new(kind, Place::row(first).column("date")))
}

/// The agreements that a row names and that do not admit its day.
fn outside_of<'p>(
    project: &'p Project,
    claims: &Claims,
    admits: impl Fn(&Agreement) -> bool,
) -> Vec<&'p Agreement> {
    let named = claims.0.iter().filter_map(|(payer, _)| match payer {
        Payer::Agreement(id) => project.agreement(id),
        Payer::Own | Payer::Unclaimed => None,
    });
    named.filter(|agreement| !admits(agreement)).collect()
}

fn outside(row: &Spending, agreement: &Agreement) -> Problem {
    let at = Place::row(&row.source).column("date");
    Problem::new(of_day(agreement.dates.day(row), agreement, PAID), at)
}

/// What was done on a day, and what becomes of the row where the agreement does not admit it.
type Done = (&'static str, &'static str);
const PAID: Done = ("paid", "listed and not counted under it");
const WORKED: Done = ("worked", "counted under it all the same, for the row names it");
const PLANTED: Done = ("planted", "counted under it all the same, for the row names it");

/// What is wrong with a day that `agreement` does not admit.
fn of_day(on: chrono::NaiveDate, agreement: &Agreement, (done, fate): Done) -> Funding {
    let (id, at) = (name(&agreement.id), place(&agreement.source));
    match agreement.approved {
        Some(approved) if on < approved && on >= agreement.term.from => Funding::CostBeforeApproval {
            done,
            day: day(on),
            agreement: id,
            approved: format!("{} in {at}", day(approved)),
            fate,
        },
        _ => Funding::OutsideTerm {
            day: day(on),
            side: if on < agreement.term.from { "before" } else { "after" },
            agreement: id,
            term: format!("{}, in {at}", span(agreement.term.from, agreement.term.to)),
            fate,
        },
    }
}

fn unclaimed(claims: &Claims, row: &Row, problems: &mut Vec<Problem>) {
    let sum = claims.sum();
    if !claims.is_empty() && sum < Decimal::ONE_HUNDRED {
        let meant = (sum * Decimal::ONE_HUNDRED).normalize();
        let sum = sum.normalize().to_string();
        // Nobody shares out two hundredths of a thing.
        let kind = match meant <= Decimal::ONE_HUNDRED * Decimal::TWO {
            true => Funding::SharesOfOne { sum, meant: format!("{meant} % together") },
            false => Funding::ShareUnclaimed { sum },
        };
        problems.push(Problem::new(kind, Place::row(row).column("agreement")));
    }
}

/// Says where what only one can own is shared in equal parts.
fn owner(claims: &Claims, what: Option<&'static str>, row: &Row, problems: &mut Vec<Problem>) {
    if let Some(what) = what
        && !claims.is_empty()
        && claims.largest().is_none()
    {
        problems.push(Problem::new(Funding::OwnerUnclear { what }, Place::row(row).column("agreement")));
    }
}

/// Says of all rows of a table that could be paid by the same several agreements, once.
fn unclear(what: &'static str, rows: Vec<(&Row, &RowShares)>, problems: &mut Vec<Problem>) {
    let mut groups: std::collections::BTreeMap<String, Vec<&Row>> = std::collections::BTreeMap::new();
    for (row, of) in rows {
        if let Settled::Unclear(candidates) = &of.settled {
            groups.entry(payers(candidates)).or_default().push(row);
        }
    }
    for (payers, rows) in groups {
        let count = rows.len().to_string();
        for row in rows {
            let kind = Funding::PayerUnclear { rows: count.clone(), what, payers: payers.clone() };
            problems.push(Problem::new(kind, Place::row(row).column("agreement")));
        }
    }
}
