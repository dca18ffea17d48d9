//! Money that came in, among payments: what each row of it is, what is asked of the rest, and what it would change.

use std::collections::BTreeSet;

use rust_decimal::Decimal;

use crate::{
    intake::{
        cell::Cells,
        mapping::{Mapping, MoneyIn},
        nearest::{folded, same},
    },
    problem::{Evidence, Place, Problem},
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
    /// The part of the table that it stands in, and its row there.
    at: (u16, u32),
    words: String,
    payee: String,
    sum: Decimal,
    is: Option<MoneyIn>,
    /// Whether the settings speak of this very row.
    by_words: bool,
}

/// The rows that came in, beside what was paid.
#[derive(Default)]
pub(super) struct CameIn {
    rows: Vec<Came>,
    /// Whether the settings go by the words of rows.
    by_words: bool,
    /// What was paid, the largest of it, and who was.
    paid: Decimal,
    largest: Decimal,
    payees: BTreeSet<String>,
}

impl CameIn {
    /// Remembers a row in which `sum` came in, and what the settings say of it, `otherwise` where they say nothing.
    pub(super) fn take(
        &mut self,
        row: &Cells<'_>,
        sum: Decimal,
        mapping: &Mapping,
        otherwise: Option<MoneyIn>,
    ) {
        self.by_words = !mapping.money_in_by.is_empty();
        let by_words = mapping.money_in_by.iter().find(|(words, _)| {
            let words = folded(words);
            !words.is_empty() && row.texts().any(|text| folded(text).contains(&words))
        });
        let is = by_words.map(|(_, is)| *is).or(mapping.money_in).or(otherwise);
        let by_words = by_words.is_some();
        self.rows.push(Came {
            at: row.at(),
            words: words(row),
            payee: payee(row, mapping),
            sum,
            is,
            by_words,
        });
    }

    /// Remembers a row in which `sum` was paid.
    pub(super) fn paid(&mut self, row: &Cells<'_>, sum: Decimal, mapping: &Mapping) {
        self.paid += sum;
        self.largest = self.largest.max(sum);
        self.payees.insert(payee(row, mapping));
    }

    /// The rows that are no payments: money that came in, but for what was paid back.
    pub(super) fn left_out(&self) -> BTreeSet<(u16, u32)> {
        self.rows.iter().filter(|row| row.is != Some(MoneyIn::Refunds)).map(|row| row.at).collect()
    }

    /// The rows that are so, and what they come to.
    fn that_are(&self, is: Option<MoneyIn>) -> (Vec<&Came>, Decimal) {
        let rows: Vec<&Came> = self.rows.iter().filter(|row| row.is == is).collect();
        let sum = rows.iter().map(|row| row.sum).sum();
        (rows, sum)
    }

    /// What was spent: what was paid less what was paid back.
    pub(super) fn spent(&self) -> Decimal {
        self.paid - self.that_are(Some(MoneyIn::Refunds)).1
    }

    /// What is asked of rows of which nothing is said, and doubted of those that are left out or were taken off the spending; `place` is the
    /// table, `settled` whether the settings say that sums below nothing were paid back.
    pub(super) fn ask(&self, settled: bool, currency: &str, place: &Place) -> Vec<Problem> {
        let spent = self.spent();
        let told = |sum: Decimal| format!("{currency} {sum:.2}");
        let mut kinds: Vec<Evidence> = Vec::new();
        let (open, sum) = self.that_are(None);
        if !open.is_empty() {
            let (refunds, left) = self.parted(&open);
            kinds.push(Evidence::MoneyIn {
                rows: open.len(),
                sum: told(sum),
                left_out: told(spent),
                paid_back: told(spent - sum),
                refunds,
                left,
                by_words: self.by_words,
                also_paid: self.also_paid(&open),
            });
        }
        let (left, sum) = self.that_are(Some(MoneyIn::LeftOut));
        if !left.is_empty() {
            kinds.push(Evidence::MoneyLeftOut {
                rows: left.len(),
                sum: told(sum),
                spent: told(spent),
                paid_back: told(spent - sum),
                also_paid: self.also_paid(&left),
            });
        }
        let (back, sum) = self.that_are(Some(MoneyIn::Refunds));
        let is_odd = |row: &&&Came| !row.by_words && (is(&row.words, &GIVEN) || row.sum > self.largest);
        let odd = back
            .iter()
            .find(is_odd)
            .or_else(|| back.iter().max_by_key(|row| row.sum).filter(|_| spent < Decimal::ZERO));
        if let Some(odd) = odd {
            let (refunds, left) = self.parted(&back);
            kinds.push(Evidence::IncomeAsRefund {
                words: odd.words.clone(),
                amount: told(odd.sum),
                spent: told(spent),
                without: told(spent + odd.sum),
                rest: told(spent + sum),
                refunds,
                left,
            });
        } else if settled && !back.is_empty() {
            let (rows, sum, without) = (back.len(), told(sum), told(spent + sum));
            kinds.push(Evidence::PaidBack { rows, sum, spent: told(spent), without });
        }
        kinds.into_iter().map(|kind| Problem::new(kind, place.clone())).collect()
    }

    /// Whoever gave money in a row that does not say that it was paid back, and was paid in another.
    fn also_paid(&self, rows: &[&Came]) -> Option<String> {
        let paid = |row: &&&Came| !is(&row.words, &BACK) && self.was_paid(row);
        rows.iter().find(paid).map(|row| row.payee.clone())
    }

    /// Whether whoever gave the money of a row was paid in another.
    fn was_paid(&self, row: &Came) -> bool {
        let payee = folded(&row.payee);
        let within = |one: &str, other: &str| one.chars().count() >= TELLING && other.contains(one);
        let same = |other: &String| {
            let other = folded(other);
            other == payee || within(&other, &payee) || within(&payee, &other)
        };
        !payee.is_empty() && self.payees.iter().any(same)
    }

    /// The words of the rows that read as money given back, by what they say or because whoever gave it was paid, and those of all others,
    /// each once.
    fn parted(&self, rows: &[&Came]) -> (Vec<String>, Vec<String>) {
        let (mut back, mut others) = (Vec::new(), Vec::new());
        for row in rows.iter().filter(|row| !row.words.is_empty()) {
            let is_back = is(&row.words, &BACK) || !is(&row.words, &GIVEN) && self.was_paid(row);
            let list = if is_back { &mut back } else { &mut others };
            if !list.contains(&row.words) {
                list.push(row.words.clone());
            }
        }
        (back, others)
    }
}

/// Letters of a name that tell it within another.
const TELLING: usize = 5;

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

/// Who was paid or who paid: what the table says of it, else what tells the row from others. A line of the budget is nobody.
fn payee(row: &Cells<'_>, mapping: &Mapping) -> String {
    let told = row.raw("payee").map_or_else(|| words(row), |payee| payee.trim().to_owned());
    if mapping.budget.iter().any(|line| same(line, &told)) { String::new() } else { told }
}
