//! Payments that may have been entered twice: a doubt, and something to be decided.

use std::sync::Arc;

use crate::typeset::{
    ReportInputs,
    data::{front::doubts::at, notes::sentence, printed},
};
use hillfolio_core::{
    problem::{self, Change, Problem},
    project::Spending,
    source::Sources,
    units::{Money, number},
};

/// Payments to be decided on one by one; more are told together.
const ONE_BY_ONE: usize = 3;

/// A payment that an earlier row may hold already.
pub(super) struct Doubled {
    /// The doubt in words.
    pub(super) says: String,
    /// Its row.
    pub(super) rows: Arc<Sources>,
    /// Targets that would stand otherwise without it.
    pub(super) turns: Vec<String>,
    at: String,
    payment: String,
    sum: Money,
    currency: String,
}

fn payment<'a>(inputs: &ReportInputs<'a>, problem: &Problem) -> Option<&'a Spending> {
    let other = problem.other.as_ref().filter(|other| other.change == Change::LeftOut)?;
    let until = inputs.project.period.to;
    inputs.project.spending.iter().find(|row| row.counted_on <= until && other.rows.holds(&row.source))
}

/// Whether `problem` says that a payment may have been entered twice.
pub(super) fn is_one(inputs: &ReportInputs<'_>, problem: &Problem) -> bool {
    payment(inputs, problem).is_some()
}

/// Each payment that may have been entered twice, once, up to the period's end.
pub(super) fn payments(inputs: &ReportInputs<'_>) -> Vec<Doubled> {
    let mut found: Vec<Doubled> = Vec::new();
    for problem in problem::doubts(inputs.problems) {
        let Some((row, other)) = payment(inputs, problem).zip(problem.other.as_ref()) else { continue };
        if found.iter().any(|known| known.rows.holds(&row.source)) {
            continue;
        }
        let currency = inputs.project.identity.currency.clone();
        let sum = row.counted(inputs.project.money.acquit);
        let to = row.payee.as_ref().map(|payee| format!(" to {payee}")).unwrap_or_default();
        let written = number(sum.number(), 2);
        let payment = format!("{currency}\u{a0}{written}{to} of {}", printed::day(row.date));
        let less = format!("{currency}\u{a0}{written} less would be spent if it were left out");
        found.push(Doubled {
            says: sentence(&format!("{}: {}; {less}", at(problem), problem.kind)),
            rows: Arc::clone(&other.rows),
            turns: other.effects.iter().filter_map(|effect| effect.target.clone()).collect(),
            at: at(problem),
            payment,
            sum,
            currency,
        });
    }
    found
}

/// What is to be decided of `payments`; `dagger` gives the mark of a doubt that stands among those of the page.
pub(super) fn decisions(payments: &[Doubled], dagger: impl Fn(&str) -> Option<String>) -> Vec<String> {
    let mark = |one: &Doubled| dagger(&one.says).map(|mark| format!(" ({mark})")).unwrap_or_default();
    let decided = payments.iter().take(ONE_BY_ONE).map(|one| {
        format!("Whether {} was paid twice or entered twice: {}{}.", one.payment, one.at, mark(one))
    });
    let rest = payments.get(ONE_BY_ONE..).unwrap_or_default();
    let more = rest.first().map(|first| {
        let sum: Money = rest.iter().map(|one| one.sum).sum();
        let sum = number(sum.number(), 2);
        let rows: Vec<&str> = rest.iter().map(|one| one.at.as_str()).collect();
        format!(
            "The same of {} more, {}\u{a0}{sum} together: {}.",
            rest.len(),
            first.currency,
            rows.join(", ")
        )
    });
    decided.chain(more).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn payments_are_decided_on_one_by_one_up_to_three_and_the_rest_together() {
        let one = |row: u32| Doubled {
            says: format!("Row {row} is that of row 2."),
            rows: Arc::default(),
            turns: Vec::new(),
            at: format!("row {row} of spending.csv"),
            payment: "AUD\u{a0}10.00 to Oak and Sons of 1 May 2025".to_owned(),
            sum: Money::ZERO,
            currency: "AUD".to_owned(),
        };
        let payments: Vec<Doubled> = (3..8).map(one).collect();
        let dagger = |of: &str| (of == "Row 3 is that of row 2.").then(|| "†1".to_owned());
        let decided = decisions(&payments, dagger);
        assert_eq!(decided.len(), 4);
        let first = "Whether AUD\u{a0}10.00 to Oak and Sons of 1 May 2025 was paid twice or entered twice: row 3 of spending.csv (†1).";
        assert_eq!(decided[0], first);
        assert_eq!(
            decided[3],
            "The same of 2 more, AUD\u{a0}0.00 together: row 6 of spending.csv, row 7 of spending.csv."
        );
    }
}
