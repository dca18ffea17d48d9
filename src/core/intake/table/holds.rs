//! Whether a column can hold what stands beneath a heading: a heading such as `Planted` may stand for a day or for a count.

use crate::intake::{
    cell::date::{self, Day},
    mapping::DateOrder,
    table::totals,
};

/// Columns that hold counts, measures or money.
const NUMBERS: [&str; 26] = [
    "stems",
    "alive",
    "dead",
    "missing",
    "recruits",
    "planted",
    "planted_stems",
    "count",
    "mm",
    "days",
    "hours",
    "people",
    "quantity",
    "percent",
    "hits",
    "points",
    "height_m",
    "diameter_mm",
    "intercept_m",
    "line_m",
    "amount",
    "money_in",
    "longitude",
    "latitude",
    "easting",
    "northing",
];

/// Columns that hold names and words.
const WORDS: [&str; 4] = ["species", "task", "line", "payee"];

/// A word of more letters than this is no tick and no unit.
const TICK: usize = 3;

/// Years, and a spreadsheet's numbers for days of 1954 to 2064.
const YEARS: std::ops::Range<f64> = 1900.0..2100.0;
const SERIAL: std::ops::Range<f64> = 20_000.0..60_000.0;

/// Whether the filled of `cells` let their heading stand for `column`: at least half of them can be what it holds. Totals are none of them.
pub(crate) fn can_hold<'a>(column: &str, cells: impl Iterator<Item = &'a str>) -> bool {
    let fits: fn(&str) -> bool = match column {
        "date" => is_day,
        column if NUMBERS.contains(&column) => is_number,
        column if WORDS.contains(&column) => is_word,
        _ => return true,
    };
    let filled = cells.map(str::trim).filter(|cell| !cell.is_empty() && !totals::says(cell));
    let (fitting, all) =
        filled.fold((0, 0), |(fitting, all), cell| (fitting + usize::from(fits(cell)), all + 1));
    2 * fitting >= all
}

/// The same of the rows beneath `headings`, by the words of one of these.
pub(crate) fn beneath<'a>(
    headings: &'a [String],
    rows: &'a [Vec<String>],
) -> impl Fn(&str, &str) -> bool + 'a {
    move |heading, column| {
        let Some(at) = headings.iter().position(|other| other == heading) else { return true };
        can_hold(column, rows.iter().filter_map(|row| row.get(at)).map(String::as_str))
    }
}

fn is_day(cell: &str) -> bool {
    match cell.replace(',', ".").parse::<f64>() {
        Ok(number) => {
            YEARS.contains(&number)
                || SERIAL.contains(&number)
                || matches!(date::day(cell, DateOrder::Unstated), Ok(Day::Certain(_) | Day::Either(..)))
        }
        // Days may be written in ways that nobody knows: a name has no digit in it.
        Err(_) => cell.contains(|letter: char| letter.is_ascii_digit()),
    }
}

fn is_number(cell: &str) -> bool {
    cell.contains(|letter: char| letter.is_ascii_digit()) || cell.chars().count() <= TICK
}

fn is_word(cell: &str) -> bool {
    cell.contains(char::is_alphabetic)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stands_beneath_a_heading_tells_what_it_is() {
        let holds = |column: &str, cells: &[&str]| can_hold(column, cells.iter().copied());
        assert!(!holds("date", &["10", "25", "12"]));
        for days in [["2025-03-01", "", "3/4/25"], ["12 May", "Total", "45000"], ["2024", "2025", ""]] {
            assert!(holds("date", &days), "{days:?}");
        }
        assert!(holds("alive", &["x", "✓", ""]) && holds("stems", &["120 tubes", "~30"]));
        assert!(!holds("stems", &["Blackwood", "Manna gum"]));
        assert!(!holds("species", &["10", "12"]) && holds("species", &["Blackwood", "?", "Manna gum"]));
        assert!(holds("area", &["1", "2"]) && holds("date", &[]));
    }
}
