//! Receipts that are not there, and receipts that are there twice.

use std::collections::BTreeMap;

use crate::{
    intake::{
        checks::funding::claimed_twice::{is_claimed_twice, is_in_parts, is_likely_twice},
        nearest::folded,
        receipts,
        suppliers::{receipt_number, supplier},
    },
    problem::{Change, Evidence, Place, Plausibility, Problem, SecondReading},
    project::{Project, Spending},
    units::day,
};

pub(super) fn check(project: &Project, files: &[String], problems: &mut Vec<Problem>) {
    let mut first: BTreeMap<(String, _, _), &Spending> = BTreeMap::new();
    let mut numbers: BTreeMap<String, Vec<&Spending>> = BTreeMap::new();
    for spending in &project.spending {
        if let Some(name) = spending.receipt.as_deref().filter(|name| receipts::names_a_file(name))
            && receipts::file(name, files).is_none()
        {
            let kind = Evidence::FileAbsent { what: "receipt", name: name.to_owned() };
            problems.push(Problem::new(kind, Place::row(&spending.source).column("receipt")));
        }
        let again = spending.payee.as_deref().and_then(|payee| {
            let key = (supplier(payee), spending.date, spending.amount);
            let before = first.get(&key).copied();
            first.entry(key).or_insert(spending);
            before
        });
        if let Some(first) = again {
            // One cause, one message: that two agreements claim it says more.
            if is_claimed_twice(first, spending) || is_likely_twice(first, spending) {
                continue;
            }
            let first = first.source.row;
            let other = SecondReading::of(Change::LeftOut, [&spending.source]);
            let kind = Evidence::ReceiptTwice { first };
            problems.push(Problem::new(kind, Place::row(&spending.source).column("amount")).or(other));
            continue;
        }
        // A word such as `none` or `cash` is no number of a receipt.
        let Some(receipt) = &spending.receipt else { continue };
        if let Some(number) = receipt_number(receipt) {
            let earlier = numbers.entry(number).or_default();
            problems.extend(earlier.iter().find_map(|first| number_again(project, first, spending, receipt)));
            earlier.push(spending);
        }
    }
}

/// What one receipt can't be: two days, two payees, or one line of the budget twice. Of one day and payee it may stand on several lines.
fn number_again(project: &Project, first: &Spending, later: &Spending, receipt: &str) -> Option<Problem> {
    let payee = |row: &Spending| row.payee.as_deref().map(supplier);
    let same_payee = payee(first).zip(payee(later)).is_none_or(|(one, other)| one == other);
    // Two businesses may well count alike, and one receipt may be shared out over rows.
    if !same_payee || is_claimed_twice(first, later) || is_in_parts(first, later) {
        return None;
    }
    let differs = if first.date != later.date {
        format!("of {}", day(first.date))
    } else if folded(&first.line) == folded(&later.line) {
        "of the same day and on the same line".to_owned()
    } else {
        return None;
    };
    let codes = |row: &Spending| {
        row.claims.0.iter().map(|(payer, _)| payer.code().to_owned()).collect::<Vec<_>>().join(" and ")
    };
    let differs = match (codes(first), codes(later)) {
        (one, other) if one.is_empty() && other.is_empty() => differs,
        (one, other) if one == other => format!("{differs}, both of {one}"),
        (one, other) => {
            let named = |codes: String| if codes.is_empty() { "no agreement".to_owned() } else { codes };
            format!("{differs}, of {} there and of {} here", named(one), named(other))
        }
    };
    let sum = format!("{} {:.2}", project.identity.currency, first.amount.0 + later.amount.0);
    let kind = Plausibility::ReceiptNumberTwice {
        receipt: receipt.to_owned(),
        first: first.source.row,
        differs,
        sum,
    };
    let other = SecondReading::of(Change::LeftOut, [&later.source]);
    Some(Problem::new(kind, Place::row(&later.source).column("receipt")).or(other))
}
