//! Payments that are no payments of their own: sums of others, money that came back, gifts.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::{
    intake::{checks::money, nearest::folded},
    problem::{Change, Measured, Place, Problem, SecondReading, Slips},
    project::{Project, Spending},
    units::Money,
};

/// Words of a row that adds up others (common practice, no source).
const SUMS: [&[&str]; 6] =
    [&["total"], &["totals"], &["subtotal"], &["sub", "total"], &["statement"], &["carried", "forward"]];

/// Words of money that comes back (common practice, no source).
const BACK: [&[&str]; 6] =
    [&["credit", "note"], &["refund"], &["refunded"], &["reversal"], &["reversed"], &["money", "back"]];

/// Words of what was given (common practice, no source).
const GIVEN: [&[&str]; 4] = [&["in", "kind"], &["donated"], &["donation", "of"], &["unpaid", "work"]];

/// The same of whoever gave it.
const GIVERS: [&[&str]; 2] = [&["volunteers"], &["volunteer"]];

/// Rows whose sum a row without a word of it is: of two alone, round sums come about by chance (common practice, no source).
const RUN: usize = 3;

/// Rows of a payee that are always in kind, from which another is (common practice, no source).
const ALWAYS: usize = 2;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let all: Decimal = project.spending.iter().map(|payment| payment.amount.0).sum();
    for (at, payment) in project.spending.iter().enumerate() {
        let earlier = project.spending.get(..at).unwrap_or_default();
        let problem = sum_of_others(project, earlier, payment, all)
            .or_else(|| back(project, payment, all))
            .or_else(|| gift(project, payment));
        problems.extend(problem);
    }
}

/// Whether the words of a phrase follow one another in the text.
fn has_words(text: &str, phrase: &[&str]) -> bool {
    let lower = text.to_lowercase();
    let words: Vec<&str> =
        lower.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    words.windows(phrase.len()).any(|run| run == phrase)
}

/// The first text of a payment that holds one of the phrases.
fn says<'a>(payment: &'a Spending, phrases: &[&[&str]]) -> Option<&'a str> {
    let texts = [payment.note.as_deref(), payment.receipt.as_deref(), payment.payee.as_deref()];
    texts.into_iter().flatten().find(|text| phrases.iter().any(|phrase| has_words(text, phrase)))
}

fn sum_of_others(
    project: &Project,
    earlier: &[Spending],
    payment: &Spending,
    all: Decimal,
) -> Option<Problem> {
    if payment.amount.0 <= Decimal::ZERO {
        return None;
    }
    let summed = run_before(earlier, payment).or_else(|| of_payee(earlier, payment));
    // A business may well be called so.
    let named =
        says(payment, &SUMS).filter(|text| summed.is_some() || payment.payee.as_deref() != Some(text));
    let rows = summed.as_ref().map(|rows| match rows.as_slice() {
        [] => String::new(),
        [one] => format!("row {one}"),
        [some @ .., last] => {
            let some: Vec<String> = some.iter().map(ToString::to_string).collect();
            format!("rows {} and {last}", some.join(", "))
        }
    });
    let round = (payment.amount.0 % Decimal::from(10)).is_zero();
    let telling = summed.as_ref().is_some_and(|rows| rows.len() >= RUN || !round);
    let why = match (rows, named) {
        (Some(rows), Some(text)) => format!("is what {rows} make together, and the row says `{text}`"),
        (Some(rows), None) if telling => format!("is what {rows} make together"),
        (None, Some(text)) => format!("stands in a row that says `{text}`"),
        _ => return None,
    };
    let kind = Slips::SumAmongPayments {
        amount: money(project, payment.amount.0),
        why,
        with: money(project, all),
        without: money(project, all - payment.amount.0),
    };
    let other = SecondReading::of(Change::LeftOut, [&payment.source]);
    Some(Problem::new(kind, Place::row(&payment.source).column("amount")).or(other))
}

/// The rows right before the payment that make its amount.
fn run_before(earlier: &[Spending], payment: &Spending) -> Option<Vec<u32>> {
    adding_up(earlier.iter().rev(), payment)
}

/// The rows of its payee before it that make its amount.
fn of_payee(earlier: &[Spending], payment: &Spending) -> Option<Vec<u32>> {
    let payee = folded(payment.payee.as_deref()?);
    let same = |row: &&Spending| row.payee.as_deref().is_some_and(|other| folded(other) == payee);
    adding_up(earlier.iter().rev().filter(same), payment)
}

/// The first of `rows`, two or more, that make the amount of `payment`, in the order of the table.
fn adding_up<'a>(rows: impl Iterator<Item = &'a Spending>, payment: &Spending) -> Option<Vec<u32>> {
    let (mut sum, mut numbers) = (Decimal::ZERO, Vec::new());
    for row in rows {
        sum += row.amount.0;
        numbers.push(row.source.row);
        if sum == payment.amount.0 && numbers.len() > 1 {
            numbers.reverse();
            return Some(numbers);
        }
        if sum > payment.amount.0 {
            return None;
        }
    }
    None
}

/// A credit note or a refund that stands as a payment.
fn back(project: &Project, payment: &Spending, all: Decimal) -> Option<Problem> {
    let words = says(payment, &BACK).filter(|_| payment.amount.0 > Decimal::ZERO)?;
    let amount = payment.amount.0;
    let kind = Slips::RefundAsPayment {
        words: words.to_owned(),
        amount: money(project, amount),
        spent: money(project, all),
        back: money(project, all - amount - amount),
    };
    let other = SecondReading::of(Change::Times { of: Measured::Amount, factor: -1.0 }, [&payment.source]);
    Some(Problem::new(kind, Place::row(&payment.source).column("amount")).or(other))
}

/// What was given and stands as cash: by its words, or because nothing of its payee is ever paid.
fn gift(project: &Project, payment: &Spending) -> Option<Problem> {
    if payment.in_kind {
        return None;
    }
    let payee = payment.payee.as_deref();
    let why = if let Some(others) = payee.and_then(|payee| always_in_kind(project, payment, payee)) {
        format!("all other {others} payments to {} are in kind", payee.unwrap_or_default())
    } else if let Some(giver) = payee.filter(|payee| GIVERS.iter().any(|words| has_words(payee, words))) {
        format!("`{giver}` reads as people who are not paid")
    } else if let Some(line) = project
        .budget
        .iter()
        .find(|one| folded(&one.line) == folded(&payment.line))
        .filter(|one| one.cash == Money::ZERO && one.in_kind > Money::ZERO)
    {
        format!("`{}` is budgeted in kind alone", line.line)
    } else {
        let note = payment.note.as_deref()?;
        GIVEN.iter().any(|words| has_words(note, words)).then(|| format!("`{note}` reads as given"))?
    };
    let cash: Decimal = project.spending.iter().filter(|row| !row.in_kind).map(|row| row.amount.0).sum();
    let kind = Slips::InKindAsCash {
        why,
        amount: money(project, payment.amount.0),
        cash: money(project, cash),
        without: money(project, cash - payment.amount.0),
    };
    let other = SecondReading::of(Change::InKind, [&payment.source]);
    Some(Problem::new(kind, Place::row(&payment.source).column("in_kind")).or(other))
}

/// How many other payments to the payee there are, where every one is in kind.
fn always_in_kind(project: &Project, payment: &Spending, payee: &str) -> Option<usize> {
    let payee = folded(payee);
    let mut of_payee: BTreeMap<bool, usize> = BTreeMap::new();
    for row in &project.spending {
        if row.source != payment.source && row.payee.as_deref().is_some_and(|other| folded(other) == payee) {
            *of_payee.entry(row.in_kind).or_default() += 1;
        }
    }
    match (of_payee.get(&true), of_payee.get(&false)) {
        (Some(&given), None) if given >= ALWAYS => Some(given),
        _ => None,
    }
}
