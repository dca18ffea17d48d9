//! Files without headings: the rows of a bank's export, told by what their cells hold.

use crate::intake::{
    cell::{
        date,
        number::{self, Mark},
    },
    mapping::DateOrder,
};

/// Rows that are looked at.
const ROWS: usize = 3;

/// The headings that the first rows of a bank's export without any could have: a day, a sum with its cents, and words. `None` where they
/// are no such rows.
pub(crate) fn headings_of_sums(rows: &[Vec<String>]) -> Option<Vec<String>> {
    let rows = rows.get(..ROWS.min(rows.len())).filter(|rows| rows.len() > 1)?;
    let width = rows.first()?.len();
    let of = |at: usize, is: fn(&str) -> bool| {
        rows.iter().all(|row| row.len() == width && row.get(at).is_some_and(|cell| is(cell.trim())))
    };
    let columns = |is: fn(&str) -> bool| (0..width).filter(|&at| of(at, is)).collect::<Vec<_>>();
    let (days, sums, words) = (columns(is_day), columns(is_sum), columns(is_words));
    let (day, sum, word) = (*days.first()?, *sums.first()?, *words.first()?);
    let name = |at: usize| match at {
        at if at == day => "date".to_owned(),
        at if at == sum => "amount".to_owned(),
        at if at == word => "line".to_owned(),
        at => format!("column {}", at + 1),
    };
    Some((0..width).map(name).collect())
}

fn is_day(cell: &str) -> bool {
    cell.contains(['/', '-', '.', ' ']) && date::day(cell, DateOrder::Unstated).is_ok()
}

/// A number with two decimals.
fn is_sum(cell: &str) -> bool {
    let cents = cell.len() > 3 && matches!(cell.as_bytes()[cell.len() - 3], b'.' | b',');
    cents && number::plain(cell.trim_start_matches('+'), Mark::Unclear).is_some()
}

fn is_words(cell: &str) -> bool {
    cell.chars().filter(|letter| letter.is_alphabetic()).count() > 3 && !is_day(cell)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn headings(text: &str) -> Option<Vec<String>> {
        let rows: Vec<Vec<String>> =
            text.lines().map(|line| line.split(',').map(str::to_owned).collect()).collect();
        headings_of_sums(&rows)
    }

    #[test]
    fn the_rows_of_a_bank_tell_what_they_are() {
        assert_eq!(
            headings("14/07/2020,-45.60,HARDWARE,+1999.00\n13/07/2020,-1200.00,NURSERY,+2044.60").unwrap(),
            ["date", "amount", "line", "column 4"]
        );
        for none in [
            "14/07/2020,-45.60,HARDWARE",
            "Date,Amount,Details\n13/07/2020,-1200.00,NURSERY",
            "14/07/2020,3,N1\n13/07/2020,4,N2",
            "",
        ] {
            assert_eq!(headings(none), None, "{none}");
        }
    }
}
