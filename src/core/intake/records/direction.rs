//! A column of a bank's export that says in words which sums went out and which came in, where the sums themselves bear no sign.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use crate::{
    intake::{cell::number, nearest::folded, table::Table},
    problem::{Evidence, Problem},
};

/// Words for money that goes out, each beside that for money that comes in.
const WORDS: [(&str, &str); 16] = [
    ("af", "bij"),
    ("d", "c"),
    ("dr", "cr"),
    ("db", "cr"),
    ("debit", "credit"),
    ("debet", "credit"),
    ("débit", "crédit"),
    ("soll", "haben"),
    ("s", "h"),
    ("out", "in"),
    ("money out", "money in"),
    ("paid out", "paid in"),
    ("withdrawal", "deposit"),
    ("expense", "income"),
    ("lastschrift", "gutschrift"),
    ("-", "+"),
];

/// Whether the sums' own signs part the rows as the words do: what went out bears the one, what came in the other.
fn agree(table: &Table, amount: usize, at: usize) -> bool {
    let mut signs: BTreeMap<String, BTreeSet<bool>> = BTreeMap::new();
    for row in table.rows() {
        let word = folded(row.cell(at));
        let sum =
            number::plain(row.cell(amount), table.mark(row)).and_then(|sum| sum.parse::<Decimal>().ok());
        if let Some(sum) = sum.filter(|sum| !word.is_empty() && !sum.is_zero()) {
            signs.entry(word).or_default().insert(sum.is_sign_positive());
        }
    }
    let each: Vec<&BTreeSet<bool>> = signs.values().collect();
    matches!(each.as_slice(), [one, other] if one.len() == 1 && other.len() == 1 && one != other)
}

/// Asks about such a column that nothing reads.
pub(super) fn unread(table: &Table, currency: &str) -> Option<Problem> {
    let used: Vec<usize> = table.used().collect();
    let headings: Vec<&str> = table.headings().collect();
    let (amount, _) = table.position("amount")?;
    if !table.mapping.came_in.is_empty() {
        return None;
    }
    let found = (0..headings.len()).filter(|at| !used.contains(at)).find_map(|at| {
        let cells = || table.rows().iter().map(|row| folded(row.cell(at))).filter(|cell| !cell.is_empty());
        let pair = WORDS.iter().find(|(out, into)| {
            cells().all(|cell| cell == *out || cell == *into)
                && cells().any(|cell| cell == *out)
                && cells().any(|cell| cell == *into)
        })?;
        Some((at, pair.1))
    });
    let (at, into) = found?;
    if agree(table, amount, at) {
        return None;
    }
    let came_in: Vec<_> = table.rows().iter().filter(|row| folded(row.cell(at)) == into).collect();
    let first = came_in.first()?;
    let sum = |row: &&crate::intake::table::Record| {
        number::plain(row.cell(amount), table.mark(row))?.parse::<Decimal>().ok()
    };
    let sum: Decimal = came_in.iter().filter_map(sum).sum();
    let kind = Evidence::DirectionUnread {
        heading: headings[at].to_owned(),
        into: first.cell(at).to_owned(),
        rows: came_in.len(),
        sum: format!("{currency} {sum:.2}"),
    };
    Some(Problem::new(kind, table.place(first, at)))
}
