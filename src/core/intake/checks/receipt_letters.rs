//! A receipt once more under its number with a letter behind it, for the same sum.

use crate::{
    intake::nearest::folded,
    problem::{Change, Place, Plausibility, Problem, SecondReading},
    project::{Project, Spending},
    units::number,
};

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    for (at, payment) in project.spending.iter().enumerate() {
        let earlier = project.spending.iter().take(at).find(|earlier| once_more(earlier, payment));
        let Some((earlier, receipt)) = earlier.zip(payment.receipt.as_ref()) else { continue };
        let currency = &project.identity.currency;
        let sum = number((earlier.amount + payment.amount).number(), 2);
        let kind = Plausibility::ReceiptNumberTwice {
            receipt: receipt.clone(),
            first: earlier.source.row,
            differs: "of the same payee and sum but for a letter behind it".to_owned(),
            sum: format!("{currency} {sum}"),
        };
        let other = SecondReading::of(Change::LeftOut, [&payment.source]);
        problems.push(Problem::new(kind, Place::row(&payment.source).column("receipt")).or(other));
    }
}

fn once_more(earlier: &Spending, later: &Spending) -> bool {
    let same = |one: &Option<String>, other: &Option<String>| match (one, other) {
        (Some(one), Some(other)) => folded(one) == folded(other),
        _ => false,
    };
    let (Some(one), Some(other)) = (&earlier.receipt, &later.receipt) else { return false };
    // The same day, payee and sum has a word of its own.
    earlier.amount == later.amount
        && earlier.date != later.date
        && same(&earlier.payee, &later.payee)
        && lettered(one, other)
}

/// Whether one number is the other with one letter behind its digits.
fn lettered(one: &str, other: &str) -> bool {
    let (one, other) = (folded(one), folded(other));
    let (short, long) = if one.len() < other.len() { (one, other) } else { (other, one) };
    long.strip_prefix(&short).is_some_and(|rest| {
        let rest = rest.trim_matches(|letter: char| !letter.is_alphanumeric());
        rest.chars().count() == 1
            && rest.chars().all(char::is_alphabetic)
            && short.ends_with(|letter: char| letter.is_ascii_digit())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_letter_behind_the_digits_makes_no_other_number() {
        assert!(lettered("HH-119", "hh-119b"));
        assert!(lettered("119 B", "119"));
        assert!(!lettered("HH-119", "HH-1195"));
        assert!(!lettered("HH", "HHb"));
        assert!(!lettered("HH-119", "HH-119"));
    }
}
