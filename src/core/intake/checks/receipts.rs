//! Receipts that are not there, and receipts that are there twice.

use std::collections::BTreeMap;

use crate::{
    intake::{nearest::folded, receipts},
    problem::{Change, Evidence, Place, Plausibility, Problem, SecondReading},
    project::{Project, Spending},
    units::day,
};

pub(super) fn check(project: &Project, files: &[String], problems: &mut Vec<Problem>) {
    let mut first: BTreeMap<(&str, _, _), u32> = BTreeMap::new();
    let mut numbers: BTreeMap<String, Vec<&Spending>> = BTreeMap::new();
    for spending in &project.spending {
        if let Some(name) = spending.receipt.as_deref().filter(|name| receipts::names_a_file(name))
            && receipts::file(name, files).is_none()
        {
            let kind = Evidence::FileAbsent { what: "receipt", name: name.to_owned() };
            problems.push(Problem::new(kind, Place::row(&spending.source).column("receipt")));
        }
        let again = spending.payee.as_deref().and_then(|payee| {
            let key = (payee, spending.date, spending.amount);
            let before = first.get(&key).copied();
            first.entry(key).or_insert(spending.source.row);
            before
        });
        if let Some(first) = again {
            let other = SecondReading::of(Change::LeftOut, [&spending.source]);
            let kind = Evidence::ReceiptTwice { first };
            problems.push(Problem::new(kind, Place::row(&spending.source).column("amount")).or(other));
            continue;
        }
        // A word such as `none` or `cash` is no number of a receipt.
        let Some(receipt) = &spending.receipt else { continue };
        if receipt.chars().any(|letter| letter.is_ascii_digit()) {
            let earlier = numbers.entry(folded(receipt)).or_default();
            problems.extend(earlier.iter().find_map(|first| number_again(project, first, spending, receipt)));
            earlier.push(spending);
        }
    }
}

/// What one receipt can't be: two days, two payees, or one line of the budget twice. Of one day and payee it may stand on several lines.
fn number_again(project: &Project, first: &Spending, later: &Spending, receipt: &str) -> Option<Problem> {
    let payee = |row: &Spending| row.payee.as_deref().map(folded);
    let same_payee = payee(first).zip(payee(later)).is_none_or(|(one, other)| one == other);
    // Two businesses may well count alike.
    if !same_payee {
        return None;
    }
    let differs = if first.date != later.date {
        format!("of {}", day(first.date))
    } else if folded(&first.line) == folded(&later.line) {
        "of the same day and on the same line".to_owned()
    } else {
        return None;
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
