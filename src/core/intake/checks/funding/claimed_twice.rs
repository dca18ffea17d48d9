//! One receipt, stem, hour or metre in two rows that two agreements claim.

use std::collections::BTreeMap;

use crate::{
    intake::{
        checks::funding::{payers, place, sum},
        nearest::folded,
        suppliers::{receipt_number, supplier},
    },
    problem::{Change, Funding, Place, Problem, SecondReading},
    project::{Claims, Payer, Project, Spending},
    source::Row,
    units::{Stems, day, number, whole},
};

/// Hours that a day holds for one person's work, whoever pays (judgement: no longer day is believed).
const DAY: f64 = 16.0;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    receipts(project, problems);
    stems(project, problems);
    hours(project, problems);
    quantities(project, problems);
}

/// The rows of one thing, each with those who claim it.
type Claimed<'a> = Vec<(&'a Row, &'a Claims)>;

/// Whether two rows are claimed by different payers, one an agreement at least.
fn differ(one: &Claims, other: &Claims) -> bool {
    let set = |claims: &Claims| claims.0.iter().map(|(payer, _)| payer.clone()).collect::<Vec<Payer>>();
    one != other && set(one) != set(other) && !(one.is_empty() && other.is_empty())
}

/// Who claims a row, in words; one that names nobody is the folder's.
fn by(claims: &Claims) -> String {
    if claims.is_empty() {
        "a row without an agreement".to_owned()
    } else {
        payers(claims.0.iter().map(|(payer, _)| payer))
    }
}

/// Who claims a thing here and who in the `first` row.
fn claimed(first: &Row, earlier: &Claims, claims: &Claims) -> String {
    format!("by {} here and by {} in {}", by(claims), by(earlier), place(first))
}

/// Says of each later row of a thing that an earlier one of another payer has it already.
fn each<'a>(rows: &Claimed<'a>, mut says: impl FnMut(&'a Row, &'a Claims, &'a Row, &'a Claims)) {
    for (at, (row, claims)) in rows.iter().enumerate() {
        if let Some((first, earlier)) = rows[..at].iter().find(|(_, earlier)| differ(earlier, claims)) {
            says(first, earlier, row, claims);
        }
    }
}

fn receipts(project: &Project, problems: &mut Vec<Problem>) {
    let mut alike: BTreeMap<((String, String), _), Claimed<'_>> = BTreeMap::new();
    let mut written: BTreeMap<&Row, &Spending> = BTreeMap::new();
    for row in &project.spending {
        if let Some(known) = payment(row) {
            alike.entry((known, row.amount)).or_default().push((&row.source, &row.claims));
            written.entry(&row.source).or_insert(row);
        }
    }
    for ((_, amount), rows) in &alike {
        each(rows, |first, earlier, row, claims| {
            let Some(later) = written.get(row) else { return };
            let payee = later.payee.as_deref().unwrap_or_default().trim();
            let receipt = match later.receipt.as_deref().filter(|number| receipt_number(number).is_some()) {
                Some(number) if payee.is_empty() => format!("receipt {}", number.trim()),
                Some(number) => format!("receipt {} of {payee}", number.trim()),
                None => format!("the payment to {payee} of {}", later.date),
            };
            let kind = Funding::ReceiptClaimedTwice {
                receipt,
                sum: sum(project, *amount),
                by: claimed(first, earlier, claims),
            };
            let other = SecondReading::of(Change::LeftOut, [row]);
            problems.push(Problem::new(kind, Place::row(row).column("amount")).or(other));
        });
    }
}

/// What tells one payment from another: supplier and number; without a number the day must.
fn payment(row: &Spending) -> Option<(String, String)> {
    let payee = row.payee.as_deref().map(supplier).unwrap_or_default();
    match row.receipt.as_deref().and_then(receipt_number) {
        Some(number) => Some((payee, number)),
        None if payee.is_empty() => None,
        None => Some((payee, format!("of {}", row.date))),
    }
}

/// Whether the two rows are one payment that different payers claim, which is said here and nowhere else.
pub(in crate::intake::checks) fn is_claimed_twice(one: &Spending, other: &Spending) -> bool {
    one.amount == other.amount
        && differ(&one.claims, &other.claims)
        && payment(one).is_some_and(|known| payment(other) == Some(known))
}

/// Whether the two rows share one receipt out: each names payers of its own, and its part of the sum.
pub(in crate::intake::checks) fn is_split(one: &Spending, other: &Spending) -> bool {
    one.amount != other.amount
        && one.date == other.date
        && !one.claims.is_empty()
        && !other.claims.is_empty()
        && differ(&one.claims, &other.claims)
}

fn stems(project: &Project, problems: &mut Vec<Problem>) {
    let mut alike: BTreeMap<_, Claimed<'_>> = BTreeMap::new();
    for row in &project.plantings {
        let batch = row.batch.as_deref().map(folded);
        let key = (row.date, &row.area, &row.species, row.stems.0, batch);
        alike.entry(key).or_default().push((&row.source, &row.claims));
    }
    for ((date, _, species, stems, _), rows) in &alike {
        each(rows, |first, earlier, row, claims| {
            let kind = Funding::StemsClaimedTwice {
                stems: whole(Stems(*stems).0),
                species: species.0.to_string(),
                day: day(*date),
                by: claimed(first, earlier, claims),
            };
            problems.push(Problem::new(kind, Place::row(row).column("stems")));
        });
    }
}

fn hours(project: &Project, problems: &mut Vec<Problem>) {
    let mut alike: BTreeMap<_, Claimed<'_>> = BTreeMap::new();
    let mut persons: BTreeMap<_, Vec<(&Row, &Claims, f64)>> = BTreeMap::new();
    for row in &project.works {
        let Some(hours) = row.hours.filter(|hours| hours.0 > 0.0) else { continue };
        let person = row.person.as_deref().map(folded);
        let key = (row.date, folded(&row.task), &row.area, row.people, hours.0.to_bits(), person.clone());
        alike.entry(key).or_default().push((&row.source, &row.claims));
        if let Some(person) = person {
            persons.entry((row.date, person)).or_default().push((&row.source, &row.claims, hours.0));
        }
    }
    for ((date, task, _, people, hours, _), rows) in &alike {
        each(rows, |first, earlier, row, claims| {
            let kind = Funding::HoursClaimedTwice {
                hours: number(f64::from_bits(*hours) * f64::from(*people), 1),
                task: task.clone(),
                day: day(*date),
                by: claimed(first, earlier, claims),
            };
            problems.push(Problem::new(kind, Place::row(row).column("hours")));
        });
    }
    for ((date, person), rows) in persons {
        let all: f64 = rows.iter().map(|(_, _, hours)| hours).sum();
        let [(first, earlier, _), .., (last, claims, _)] = rows.as_slice() else { continue };
        if all > DAY && differ(earlier, claims) {
            let kind = Funding::DayClaimedBeyondHours {
                person,
                hours: number(all, 1),
                day: day(date),
                payers: claimed(first, earlier, claims),
            };
            problems.push(Problem::new(kind, Place::row(last).column("hours")));
        }
    }
}

fn quantities(project: &Project, problems: &mut Vec<Problem>) {
    let mut alike: BTreeMap<_, Claimed<'_>> = BTreeMap::new();
    for row in &project.works {
        let Some(quantity) = row.quantity.filter(|quantity| *quantity > 0.0) else { continue };
        let unit = folded(row.unit.as_deref().unwrap_or_default());
        let key = (folded(&row.task), &row.area, quantity.to_bits(), unit);
        alike.entry(key).or_default().push((&row.source, &row.claims));
    }
    for ((task, _, quantity, unit), rows) in &alike {
        each(rows, |first, earlier, row, claims| {
            let kind = Funding::QuantityClaimedTwice {
                quantity: format!("{} {unit}", number(f64::from_bits(*quantity), 1)),
                task: task.clone(),
                by: claimed(first, earlier, claims),
            };
            problems.push(Problem::new(kind, Place::row(row).column("quantity")));
        });
    }
}
