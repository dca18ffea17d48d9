//! The balance of an account beside its sums: whether it falls by what is below nothing, or by what is above.

use rust_decimal::Decimal;

use crate::intake::{
    mapping::Sign,
    table::{Table, held, key},
};

/// What a column of balances is headed with, or begins with.
const WORDS: [&str; 9] = [
    "balance",
    "running_balance",
    "account_balance",
    "bal",
    "saldo",
    "kontostand",
    "solde",
    "saldo_after",
    "balance_after",
];

/// How many balances must follow from the one before before they say anything, and what part of them.
const FEWEST: usize = 3;
const MOST: f64 = 0.9;

/// What the balances beside the sums say of their sign, and the heading that they stand under. `None` where there are no balances, or where they
/// follow from the sums in neither way.
pub(super) fn sign(table: &Table) -> Option<(String, Sign)> {
    let (amount, _) = table.position("amount")?;
    let headings: Vec<&str> = table.headings().collect();
    let is_balance = |heading: &str| {
        let key = key(heading);
        let bare = WORDS.iter().any(|word| key == *word);
        bare || WORDS.iter().any(|word| key.strip_prefix(word).is_some_and(|rest| rest.starts_with('_')))
    };
    let at = (0..headings.len()).find(|&at| at != amount && is_balance(headings[at]))?;
    let number =
        |at: usize| move |row: &crate::intake::table::Record| held::sum(row.cell(at), table.mark(row));
    let rows: Vec<(Decimal, Decimal)> =
        table.rows().iter().filter_map(|row| Some((number(amount)(row)?, number(at)(row)?))).collect();
    // Newest first or newest last.
    let steps = |back: bool| {
        rows.windows(2).map(move |pair| match back {
            false => (pair[1].0, pair[1].1 - pair[0].1),
            true => (pair[0].0, pair[0].1 - pair[1].1),
        })
    };
    let says = |back: bool, negated: bool| {
        let moved = || steps(back).filter(|(sum, _)| !sum.is_zero());
        let all = moved().count();
        let fit = moved().filter(|(sum, step)| if negated { *step == -*sum } else { step == sum }).count();
        fit >= FEWEST && fit as f64 >= MOST * all as f64
    };
    let as_written = says(false, false) || says(true, false);
    let negated = says(false, true) || says(true, true);
    match (as_written, negated) {
        (true, false) => Some((headings[at].to_owned(), Sign::OutIsNegative)),
        (false, true) => Some((headings[at].to_owned(), Sign::OutIsPositive)),
        _ => None,
    }
}
