//! What rows that are left out hold: the sums of the columns in which something is counted, so that none goes in silence.

use rust_decimal::Decimal;

use crate::intake::{
    cell::number::{self, Mark},
    table::Record,
};

/// Columns that count something, of each table: money, stems, hours.
const COUNTED: [(&str, &[&str]); 4] = [
    ("spending", &["amount", "money_in"]),
    ("plantings", &["stems"]),
    ("tallies", &["alive", "dead", "missing", "recruits", "planted"]),
    ("works", &["hours"]),
];

/// What a column of rows that are left out adds up to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Held {
    /// The column.
    pub(crate) column: &'static str,
    /// Its heading in the file.
    pub(crate) heading: String,
    /// What its cells add up to, as they are written.
    pub(crate) sum: Decimal,
}

/// Adds to `held` what `rows` hold under `headings`, of which `column` tells what they stand for.
pub(crate) fn add<'a>(
    held: &mut Vec<Held>,
    table: &str,
    rows: &[Record],
    headings: impl Iterator<Item = (&'a str, Option<&'static str>)>,
    mark: Mark,
) {
    let counted = COUNTED.iter().filter(|(of, _)| *of == table).flat_map(|(_, columns)| columns.iter());
    let counted: Vec<&str> = counted.copied().collect();
    let columns = headings.enumerate().filter_map(|(at, (heading, column))| Some((at, heading, column?)));
    for (at, heading, column) in columns.filter(|(.., column)| counted.contains(column)) {
        let mut sums = rows.iter().filter_map(|row| sum(row.cell(at), mark)).peekable();
        if sums.peek().is_none() {
            continue;
        }
        let sum: Decimal = sums.sum();
        match held.iter_mut().find(|one| one.column == column && one.heading == heading) {
            Some(one) => one.sum += sum,
            None => held.push(Held { column, heading: heading.to_owned(), sum }),
        }
    }
}

/// The number in a cell, also one of money with its signs; brackets stand for a minus. Days and names with a digit in them are none.
pub(crate) fn sum(cell: &str, mark: Mark) -> Option<Decimal> {
    let (within, minus) = match cell.strip_prefix('(').and_then(|rest| rest.strip_suffix(')')) {
        Some(within) => (within, true),
        None => (cell, false),
    };
    let (mut number, mut letters) = (String::with_capacity(within.len()), 0);
    for letter in within.chars() {
        match letter {
            letter if letter.is_alphabetic() => letters += 1,
            '$' | '€' | '£' | '¥' | '₹' | '₩' => {}
            letter => number.push(letter),
        }
    }
    // Letters are those of a currency.
    let of_currency = letters == 0 || letters == 3 || within.contains('$');
    let number = number::plain(number.trim(), mark).filter(|_| of_currency)?;
    let sum = Decimal::from_str_exact(&number).ok()?;
    Some(if minus { -sum } else { sum })
}

/// What the rows hold, in words behind a sentence; nothing where they hold nothing that counts.
pub(crate) fn told(held: &[Held], rows: usize) -> String {
    let each: Vec<String> = held.iter().map(|one| format!("{} in `{}`", one.sum, one.heading)).collect();
    let holds = if rows == 1 { "it holds" } else { "they hold" };
    match each.as_slice() {
        [] => String::new(),
        [one] => format!("; {holds} {one}"),
        [some @ .., last] => format!("; {holds} {} and {last}", some.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::table::grid::tests::grid;

    #[test]
    fn what_is_left_out_is_added_up() {
        let table = grid("Day,What,Sum,Credit\n1,a,$3.50,\n2,b,(1.00),\n3,c,,40\n4,no 5 of it,row 7 words,");
        let columns = [None, None, Some("amount"), Some("money_in")];
        let headings = table.headings.iter().map(|heading| heading.text.as_str()).zip(columns);
        let mut held = Vec::new();
        add(&mut held, "spending", &table.rows, headings, Mark::Point);
        assert_eq!(told(&held, 4), "; they hold 2.50 in `Sum` and 40 in `Credit`");
        assert_eq!(told(&[], 1), "");
        for cell in ["1/2/2025", "2025-03-01", "N3", "row 7 words", "3:30", ""] {
            assert_eq!(sum(cell, Mark::Point), None, "{cell}");
        }
        assert_eq!(sum("AUD 1,200.50", Mark::Point), Some(Decimal::new(120_050, 2)));
    }
}
