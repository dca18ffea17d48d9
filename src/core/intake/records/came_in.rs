//! Money that came in, among payments: what each row of it is, what is asked of the rest, and what it would change.

use rust_decimal::Decimal;

use crate::{
    intake::{
        cell::Cells,
        mapping::{Mapping, MoneyIn},
        nearest::folded,
    },
    problem::{Evidence, Place, Problem},
    project::Spending,
};

/// Words of money that somebody gave back.
const BACK: [&str; 12] = [
    "refund",
    "reversal",
    "reversed",
    "returned",
    "return",
    "credit note",
    "reimburs",
    "rebate",
    "chargeback",
    "overpaid",
    "overpayment",
    "erstattung",
];

/// Words of money that somebody gave.
const GIVEN: [&str; 12] = [
    "grant",
    "funding",
    "instalment",
    "installment",
    "donation",
    "donated",
    "income",
    "interest",
    "subsidy",
    "sponsor",
    "membership",
    "sale of",
];

/// A row of money that came in.
struct Came {
    words: String,
    sum: Decimal,
    is: Option<MoneyIn>,
    /// Whether the settings speak of this very row.
    by_words: bool,
}

/// The rows that came in.
#[derive(Default)]
pub(super) struct CameIn {
    rows: Vec<Came>,
    /// Whether the settings go by the words of rows.
    by_words: bool,
}

impl CameIn {
    /// What the settings say of a row in which `sum` came in, `otherwise` where they say nothing; it is remembered.
    pub(super) fn take(
        &mut self,
        row: &Cells<'_>,
        sum: Decimal,
        mapping: &Mapping,
        otherwise: Option<MoneyIn>,
    ) -> Option<MoneyIn> {
        self.by_words = !mapping.money_in_by.is_empty();
        let by_words = mapping.money_in_by.iter().find(|(words, _)| {
            let words = folded(words);
            !words.is_empty() && row.texts().any(|text| folded(text).contains(&words))
        });
        let is = by_words.map(|(_, is)| *is).or(mapping.money_in).or(otherwise);
        let by_words = by_words.is_some();
        self.rows.push(Came { words: words(row), sum, is, by_words });
        is
    }

    /// What is asked of rows of which nothing is said, and doubted of those that were taken off the spending; `place` is the table.
    pub(super) fn ask(&self, payments: &[Spending], currency: &str, place: &Place) -> Vec<Problem> {
        let spent: Decimal = payments.iter().map(|payment| payment.amount.0).sum();
        let told = |sum: Decimal| format!("{currency} {sum:.2}");
        let mut problems = Vec::new();
        let open: Vec<&Came> = self.rows.iter().filter(|row| row.is.is_none()).collect();
        if !open.is_empty() {
            let sum: Decimal = open.iter().map(|row| row.sum).sum();
            let (refunds, left) = parted(&open);
            let kind = Evidence::MoneyIn {
                rows: open.len(),
                sum: told(sum),
                left_out: told(spent),
                paid_back: told(spent - sum),
                refunds,
                left,
                by_words: self.by_words,
            };
            problems.push(Problem::new(kind, place.clone()));
        }
        let back: Vec<&Came> = self.rows.iter().filter(|row| row.is == Some(MoneyIn::Refunds)).collect();
        let sum: Decimal = back.iter().map(|row| row.sum).sum();
        let largest = payments.iter().map(|payment| payment.amount.0).max().unwrap_or_default();
        let is_odd = |row: &&&Came| !row.by_words && (is(&row.words, &GIVEN) || row.sum > largest);
        let odd = back
            .iter()
            .find(is_odd)
            .or_else(|| back.iter().max_by_key(|row| row.sum).filter(|_| spent < Decimal::ZERO));
        if let Some(odd) = odd {
            let (refunds, left) = parted(&back);
            let kind = Evidence::IncomeAsRefund {
                words: odd.words.clone(),
                amount: told(odd.sum),
                spent: told(spent),
                without: told(spent + odd.sum),
                rest: told(spent + sum),
                refunds,
                left,
            };
            problems.push(Problem::new(kind, place.clone()));
        }
        problems
    }
}

/// The words of the rows that read as money given back, and those of all others, each once.
fn parted(rows: &[&Came]) -> (Vec<String>, Vec<String>) {
    let (mut back, mut others) = (Vec::new(), Vec::new());
    for row in rows {
        let list = if is(&row.words, &BACK) { &mut back } else { &mut others };
        if !list.contains(&row.words) {
            list.push(row.words.clone());
        }
    }
    (back, others)
}

fn is(text: &str, words: &[&str]) -> bool {
    let text = folded(text);
    words.iter().any(|word| text.contains(word))
}

/// What tells a row from others: the words in it, the longest of those that are no column's own before the line.
fn words(row: &Cells<'_>) -> String {
    let is_words = |text: &&str| text.chars().filter(|letter| letter.is_alphabetic()).count() > 3;
    let own = ["payee", "note"].into_iter().filter_map(|column| row.raw(column)).find(is_words);
    let longest = || row.texts().filter(is_words).max_by_key(|text| text.chars().count());
    own.or_else(longest).unwrap_or_default().trim().to_owned()
}
