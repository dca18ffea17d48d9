//! Rows and columns that add up others: totals at the foot of a table, subtotals between its rows, a total beside columns that are made rows.

use rust_decimal::Decimal;

use crate::{
    intake::{
        cell::number::{self, Mark},
        table::{Record, grid::Grid, held, key, part::Part},
    },
    problem::{Problem, Reading},
};

/// What people write beside a total.
const WORDS: [&str; 5] = ["total", "totals", "sum", "subtotal", "subtotals"];

/// Words that stand before them.
const BEFORE: [&str; 4] = ["grand", "sub", "overall", "running"];

/// What people write for a total that a record may hold too, such as the area `all`: it says so only where a whole cell is this and nothing
/// but numbers stands beside it.
const ALL: [&str; 17] = [
    "all",
    "all_areas",
    "all_blocks",
    "all_plots",
    "all_species",
    "all_sites",
    "all_lines",
    "altogether",
    "in_all",
    "overall",
    "tot",
    "ttl",
    "σ",
    "∑",
    "summe",
    "gesamt",
    "insgesamt",
];

/// Whether a whole cell stands for everything above it, where a total could.
fn says_all(cell: &str) -> bool {
    // Most cells are told by their first letter.
    let begins = |first: char| ALL.iter().any(|word| word.starts_with(first));
    cell.len() <= 16
        && cell.chars().flat_map(char::to_lowercase).next().is_some_and(begins)
        && ALL.contains(&key(cell).as_str())
}

/// Whether a text says that it stands beside a total: `Total Gully`, `Gully subtotal`, `Grand total:`.
pub(super) fn says_total(text: &str) -> bool {
    // Most cells are told without a look at their words.
    let long = text.as_bytes();
    let has = |word: &[u8]| long.windows(word.len()).any(|part| part.eq_ignore_ascii_case(word));
    if !has(b"total") && !has(b"sum") {
        return false;
    }
    let text = key(text);
    let words: Vec<&str> = text.split('_').collect();
    let is = |word: Option<&&str>| word.is_some_and(|word| WORDS.contains(word));
    let begins =
        is(words.first()) || words.first().is_some_and(|word| BEFORE.contains(word)) && is(words.get(1));
    // At the end a sum may be of anything.
    begins || words.last().is_some_and(|word| WORDS[0] == *word || WORDS[3] == *word)
}

/// Whether a cell stands beside a total, or could.
pub(crate) fn says(cell: &str) -> bool {
    says_total(cell) || says_all(cell)
}

/// Takes rows of totals out of the table and says so, each with what the rows above it make; `needed` are the places of the columns that must
/// be filled.
pub(super) fn leave_out(part: &Part, grid: &mut Grid, needed: &[usize], problems: &mut Vec<Problem>) {
    let mut kept: Vec<Record> = Vec::with_capacity(grid.rows.len());
    // The first row of the group that a subtotal would be of.
    let mut group = 0;
    for row in std::mem::take(&mut grid.rows) {
        let (whole, of_group) = (&kept[..], &kept[group..]);
        let Some(of) = added(&row, of_group, whole, needed, part.mark) else {
            kept.push(row);
            continue;
        };
        let at = row.cells.iter().position(|cell| !cell.trim().is_empty()).unwrap_or(0);
        let filled: Vec<&str> =
            row.cells.iter().map(|cell| cell.trim()).filter(|cell| !cell.is_empty()).collect();
        let kind = Reading::TotalsRow { row: filled.join(" "), sums: sums(&row, of, grid, part.mark) };
        problems.push(Problem::new(kind, part.place(grid, &row, at)));
        group = kept.len();
    }
    grid.rows = kept;
}

/// The rows that a row adds up, where it is a total: it says so, or lacks a needed cell and holds what they make, and nothing else.
fn added<'a>(
    row: &Record,
    group: &'a [Record],
    whole: &'a [Record],
    needed: &[usize],
    mark: Mark,
) -> Option<&'a [Record]> {
    let filled = || row.cells.iter().map(|cell| cell.trim()).filter(|cell| !cell.is_empty());
    let lacks = needed.iter().any(|&at| row.cell(at).is_empty());
    let mut said = None;
    let mut says = || *said.get_or_insert_with(|| filled().any(says_total));
    let all = filled().any(says_all);
    if !(lacks || all || says()) {
        return None;
    }
    let bare = filled().all(|cell| is_number(cell, mark) || says_total(cell) || says_all(cell));
    let of = [group, whole].into_iter().find(|of| of.len() > 1 && adds_up(row, of, mark));
    // A group of one row has a subtotal too, if it says so.
    let mut alone = || Some(group).filter(|of| of.len() == 1 && (all || says()) && adds_up(row, of, mark));
    match of.or_else(&mut alone) {
        Some(of) if bare && (lacks || all || needed.is_empty()) || says() => Some(of),
        // What says so and is nothing but numbers beside it is left out too where it does not add up.
        _ if bare && (all || says()) && (lacks || needed.is_empty()) => Some(group),
        _ => None,
    }
}

fn is_number(cell: &str, mark: Mark) -> bool {
    number::likely(cell, mark).is_some() || held::sum(cell, mark).is_some()
}

/// Whether every number of the row, of which one is more than nothing, is the sum of the column above it.
fn adds_up(row: &Record, of: &[Record], mark: Mark) -> bool {
    let numbers = || (0..row.cells.len()).filter_map(|at| Some((at, held::sum(row.cell(at), mark)?)));
    // Noughts add up to anything that is none.
    numbers().any(|(_, total)| !total.is_zero()) && numbers().all(|(at, total)| total == sum(of, at, mark))
}

fn sum(of: &[Record], at: usize, mark: Mark) -> Decimal {
    of.iter().filter_map(|row| held::sum(row.cell(at), mark)).sum()
}

/// Each number of a total beside what the rows make that it adds up.
fn sums(row: &Record, of: &[Record], grid: &Grid, mark: Mark) -> String {
    let rows = match of {
        [] => return String::new(),
        [only] => format!("row {} holds", only.row),
        several => format!("rows {} make", runs(several)),
    };
    let each = (0..row.cells.len()).filter_map(|at| {
        let (total, made) = (held::sum(row.cell(at), mark)?, sum(of, at, mark));
        let heading = grid.headings.get(at).map(|heading| heading.text.as_str()).unwrap_or_default();
        Some(match total == made {
            true => format!("; its `{heading}`, {total}, is what {rows}"),
            false => format!("; its `{heading}`, {total}, is not the {made} that {rows}"),
        })
    });
    each.collect()
}

/// The numbers of rows as they are told: those that follow one another as one run. Subtotals and blank rows between them are none of them.
fn runs(rows: &[Record]) -> String {
    let mut runs: Vec<(u32, u32)> = Vec::new();
    for row in rows.iter().map(|row| row.row) {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == row => *last = row,
            _ => runs.push((row, row)),
        }
    }
    let told: Vec<String> = runs
        .into_iter()
        .map(|(first, last)| match first == last {
            true => first.to_string(),
            false => format!("{first} to {last}"),
        })
        .collect();
    match told.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
        None => String::new(),
    }
}

/// Where a table has a total beside the columns at `places`: each row in which it is not what these make, its place, and the two numbers.
pub(super) fn unlike(grid: &Grid, places: &[usize], mark: Mark) -> Vec<(Record, usize, Decimal, Decimal)> {
    let is_total = |at: &usize| !places.contains(at) && says_total(&grid.headings[*at].text);
    let Some(at) = (0..grid.headings.len()).find(is_total) else { return Vec::new() };
    let unlike = |row: &Record| {
        let total = held::sum(row.cell(at), mark)?;
        let made: Decimal = places.iter().filter_map(|place| held::sum(row.cell(*place), mark)).sum();
        (total != made).then(|| (row.clone(), at, total, made))
    };
    grid.rows.iter().filter_map(unlike).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::table::grid::tests::grid;

    #[test]
    fn what_says_total_is_told_from_what_does_not() {
        for text in [
            "Total",
            "TOTAL:",
            "Subtotal",
            "Sub-total Gully",
            "Gully total",
            "Grand total",
            "Sum",
            "Total Gully",
        ] {
            assert!(says_total(text), "{text}");
        }
        for text in ["Summer planting", "Gully", "in sum", "Sumac", "totally dead", "a total loss of it"] {
            assert!(!says_total(text), "{text}");
        }
    }

    #[test]
    fn rows_between_which_others_stand_are_told_as_several_runs() {
        let rows = |numbers: &[u32]| -> Vec<Record> {
            numbers.iter().map(|&row| Record { row, part: 0, cells: Vec::new() }).collect()
        };
        assert_eq!(runs(&rows(&[2, 3, 4, 6, 7, 9])), "2 to 4, 6 to 7 and 9");
        assert_eq!(runs(&rows(&[2, 3])), "2 to 3");
        for cell in ["All", "ALL:", "Σ", "∑", "all plots", "Summe"] {
            assert!(says_all(cell), "{cell}");
        }
        for cell in ["all dead", "Allocasuarina", "overall good", "Gully"] {
            assert!(!says_all(cell), "{cell}");
        }
    }

    #[test]
    fn a_total_beside_columns_is_held_against_them() {
        let table = grid("Plot,Blackwood,Kanuka,Total\nA,3,4,7\nB,1,,2\nC,5,5,");
        let found: Vec<(u32, String, String)> = unlike(&table, &[1, 2], Mark::Point)
            .into_iter()
            .map(|(row, _, total, made)| (row.row, total.to_string(), made.to_string()))
            .collect();
        assert_eq!(found, [(3, "2".to_owned(), "1".to_owned())]);
    }
}
