//! One receipt that two agreements claim: whole by both, or whole by one and in part by another.

use std::collections::BTreeMap;

use crate::{
    intake::{
        checks::funding::{
            claimed_twice::{Claimed, by, claimed, differ, each},
            place, sum,
        },
        suppliers::{one_number, one_supplier, receipt_number, supplier},
    },
    problem::{Change, Funding, Place, Problem, SecondReading},
    project::{Claims, Project, Spending},
    source::Row,
};

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    alike(project, problems);
    in_parts(project, problems);
    likely(project, problems);
}

fn alike(project: &Project, problems: &mut Vec<Problem>) {
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

/// Whether the two rows are one receipt of which different payers bear unlike sums, which is asked about here and nowhere else.
pub(in crate::intake::checks) fn is_in_parts(one: &Spending, other: &Spending) -> bool {
    one.amount != other.amount
        && one.date == other.date
        && differ(&one.claims, &other.claims)
        && numbered(one).is_some_and(|known| numbered(other) == Some(known))
}

/// Days within which a payment is entered a second time (judgement).
const WEEKS: i64 = 31;

/// Whether the two rows, claimed by different payers, are likely one payment whose supplier or number was written otherwise once: the sum is
/// the same, the suppliers may be one and so may the numbers, within a month; where one has no number, of one day.
pub(in crate::intake::checks) fn is_likely_twice(one: &Spending, other: &Spending) -> bool {
    let payee = |row: &Spending| row.payee.clone().filter(|payee| !supplier(payee).is_empty());
    let number = |row: &Spending| row.receipt.as_deref().and_then(receipt_number);
    let days = (one.date - other.date).num_days().abs();
    let numbers_fit = match (number(one), number(other)) {
        (Some(one), Some(other)) => one_number(&one, &other) && days <= WEEKS,
        (None, None) => false,
        _ => days == 0,
    };
    one.amount == other.amount
        && differ(&one.claims, &other.claims)
        && payee(one).zip(payee(other)).is_some_and(|(one, other)| one_supplier(&one, &other))
        && numbers_fit
        && !is_claimed_twice(one, other)
}

fn likely(project: &Project, problems: &mut Vec<Problem>) {
    for (at, later) in project.spending.iter().enumerate() {
        let Some(first) = project.spending[..at].iter().find(|first| is_likely_twice(first, later)) else {
            continue;
        };
        let called = |row: &Spending| {
            let payee = row.payee.as_deref().unwrap_or_default().trim();
            match row.receipt.as_deref().map(str::trim).filter(|number| !number.is_empty()) {
                Some(number) => format!("receipt {number} of {payee}"),
                None => format!("the payment to {payee}"),
            }
        };
        let kind = Funding::ReceiptLikelyTwice {
            receipt: called(later),
            other: called(first),
            sum: sum(project, later.amount),
            by: claimed(&first.source, &first.claims, &later.claims),
        };
        let other = SecondReading::of(Change::LeftOut, [&later.source]);
        problems.push(Problem::new(kind, Place::row(&later.source).column("receipt")).or(other));
    }
}

/// Supplier and number of a receipt that has one.
fn numbered(row: &Spending) -> Option<(String, String)> {
    row.receipt.as_deref().and_then(receipt_number)?;
    payment(row)
}

/// Receipts that stand in several rows with unlike sums, each of other payers: in parts, or once whole and once more in part. What the
/// receipt comes to tells which.
fn in_parts(project: &Project, problems: &mut Vec<Problem>) {
    let mut receipts: BTreeMap<_, Vec<&Spending>> = BTreeMap::new();
    for row in &project.spending {
        if let Some(known) = numbered(row) {
            receipts.entry((known, row.date)).or_default().push(row);
        }
    }
    for rows in receipts.into_values() {
        let Some((earlier, later)) = rows.iter().enumerate().find_map(|(at, later)| {
            let earlier = rows[..at].iter().find(|earlier| is_in_parts(earlier, later))?;
            Some((*earlier, *later))
        }) else {
            continue;
        };
        let together = rows.iter().map(|row| row.amount).sum();
        let stated = rows.iter().find_map(|row| row.receipt_total);
        let payee = later.payee.as_deref().unwrap_or_default().trim();
        let number = later.receipt.as_deref().unwrap_or_default().trim();
        let receipt = if payee.is_empty() { number.to_owned() } else { format!("{number} of {payee}") };
        let parts = format!(
            "{} {} here and {} {} in {}",
            sum(project, later.amount),
            to(&later.claims),
            sum(project, earlier.amount),
            to(&earlier.claims),
            place(&earlier.source)
        );
        let kind = match stated {
            Some(total) if together <= total => continue,
            Some(total) => Funding::ReceiptBeyondTotal {
                receipt,
                total: sum(project, total),
                parts,
                together: sum(project, together),
            },
            None => Funding::ReceiptInParts { receipt, parts, together: sum(project, together) },
        };
        let other = SecondReading::of(Change::LeftOut, [&later.source]);
        problems.push(Problem::new(kind, Place::row(&later.source).column("amount")).or(other));
    }
}

/// To whom a row is charged, in words.
fn to(claims: &Claims) -> String {
    if claims.is_empty() { "by a row without an agreement".to_owned() } else { format!("to {}", by(claims)) }
}
