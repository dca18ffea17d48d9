//! Rows of an account that tell a balance and no payment: what was brought forward, what is left.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use crate::{
    intake::{
        mapped::{Pattern, same_heading},
        nearest::folded,
        table::{Record, Table, held},
    },
    problem::{Evidence, Problem},
};

/// What such a row says, whole or at its beginning.
const WORDS: [&str; 18] = [
    "opening balance",
    "closing balance",
    "balance brought forward",
    "balance carried forward",
    "balance b/f",
    "balance c/f",
    "balance forward",
    "brought forward",
    "carried forward",
    "b/fwd",
    "c/fwd",
    "starting balance",
    "previous balance",
    "statement balance",
    "anfangssaldo",
    "anfangsbestand",
    "endsaldo",
    "saldovortrag",
];

/// The table without rows that hold a balance and no sum. They are told once for each column that says so, with the line that leaves them out; a
/// row that holds a sum besides stays, and is asked about.
pub(super) fn without(table: &Table, currency: &str, problems: &mut Vec<Problem>) -> Option<Table> {
    let says = |row: &Record| (0..row.cells.len()).find(|at| says_balance(row.cell(*at)));
    let mut out = BTreeSet::new();
    let mut told: BTreeMap<usize, Balances<'_>> = BTreeMap::new();
    for (row, at) in table.rows().iter().filter_map(|row| Some((row, says(row)?))) {
        let sum = |column: &str| {
            let (at, _) = table.position(column)?;
            held::sum(row.cell(at), table.mark(row)).filter(|sum| !sum.is_zero())
        };
        let sum = sum("amount").or_else(|| sum("money_in"));
        let balances =
            told.entry(at).or_insert(Balances { first: row, words: Vec::new(), read: Decimal::ZERO });
        balances.read += sum.unwrap_or_default().abs();
        let words = row.cell(at).to_owned();
        if !balances.words.contains(&words) {
            balances.words.push(words);
        }
        if sum.is_none() {
            out.insert((row.part, row.row));
        }
    }
    for (at, Balances { first, words, read }) in told {
        let heading = table.headings().nth(at).unwrap_or_default().to_owned();
        // What is left out by the same column stays so.
        let by = table.mapping.skip.iter().filter(|(column, _)| same_heading(column, &heading));
        let before = by.flat_map(|(_, patterns)| patterns.iter().map(Pattern::written));
        let skip = before.map(str::to_owned).chain(words.iter().cloned()).collect();
        let read = (!read.is_zero()).then(|| format!("{currency} {read:.2}"));
        problems.push(Problem::new(Evidence::Balance { words, heading, skip, read }, table.place(first, at)));
    }
    (!out.is_empty()).then(|| table.without(&out))
}

/// Rows that are balances by the words of one column.
struct Balances<'a> {
    first: &'a Record,
    words: Vec<String>,
    /// What of them is read as paid or as money that came in.
    read: Decimal,
}

fn says_balance(cell: &str) -> bool {
    let cell = folded(cell);
    WORDS.iter().any(|words| cell.starts_with(words))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_balance_is_told_from_a_payment() {
        for cell in ["Opening balance", "OPENING BALANCE 1 July", "Balance b/f", "b/fwd"] {
            assert!(says_balance(cell), "{cell}");
        }
        for cell in ["Balance of the fence", "Scale for balance", "Tubes", "brought posts forward"] {
            assert!(!says_balance(cell), "{cell}");
        }
    }
}
