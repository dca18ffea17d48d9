//! Rows that are more than a record: too many cells, the same row once more.

use std::{borrow::Cow, collections::BTreeMap};

use crate::{
    intake::{
        cell::date::{self, Day},
        table::{Record, Table, grid::Grid, part::Part},
    },
    problem::{Change, Kind, Plausibility, Problem, Reading, Records, SecondReading},
    source::Row,
};

/// Says which rows have something typed beyond the last heading: most often a delimiter that is not in quotes.
pub(crate) fn refuse_long_rows(part: &Part, grid: &Grid, problems: &mut Vec<Problem>) {
    let columns = grid.headings.len();
    for row in &grid.rows {
        if let Some(last) = (columns..row.cells.len()).rev().find(|&at| !row.cell(at).is_empty()) {
            let kind = Reading::RowTooLong { cells: last + 1, columns };
            problems.push(Problem::new(kind, part.place(grid, row, last)));
        }
    }
}

/// Says which rows are the same as an earlier one, and which are but for their note or how their day is written.
pub(crate) fn doubt_repeats(table: &Table, problems: &mut Vec<Problem>) {
    let note = table.position("note").map(|(at, _)| at);
    let day = table.position("date").map(|(at, _)| at);
    let mut seen: BTreeMap<Vec<&str>, &Record> = BTreeMap::new();
    let mut alike: BTreeMap<Vec<Cow<'_, str>>, &Record> = BTreeMap::new();
    // The rows that repeat one, and where it is said of each.
    let mut repeats: BTreeMap<(u16, u32), (Vec<Row>, Vec<usize>)> = BTreeMap::new();
    for row in &table.rows {
        let cells = (0..table.headings.len()).map(|at| row.cell(at)).collect();
        let bare = |at: usize| match at {
            at if Some(at) == note => Cow::Borrowed(""),
            at if Some(at) == day => written_alike(table, row, at),
            at => undressed(row.cell(at)),
        };
        let mut place = table.place(row, 0);
        place.column = None;
        let named = |first: &Record| match first.part == row.part {
            true => first.row.to_string(),
            false => format!("{} of {}", first.row, table.path_of(first)),
        };
        let here = Row { file: table.path_of(row).clone(), row: row.row };
        let kind: Kind = if let Some(&first) = seen.get(&cells) {
            let (rows, said) = repeats.entry((first.part, first.row)).or_default();
            rows.push(here.clone());
            said.push(problems.len());
            Records::RowTwice { first: named(first) }.into()
        } else {
            seen.insert(cells, row);
            let bare: Vec<Cow<'_, str>> = (0..table.headings.len()).map(bare).collect();
            let Some(first) = alike.get(&bare) else {
                alike.insert(bare, row);
                continue;
            };
            let other_note = note.is_some_and(|at| first.cell(at) != row.cell(at));
            let other_day = day.is_some_and(|at| first.cell(at) != row.cell(at));
            let but = match (other_note, other_day) {
                (true, _) => "its note",
                (false, true) => "how its day is written",
                (false, false) => "capital letters, spaces and marks",
            };
            Plausibility::RowAgain { first: named(first), but }.into()
        };
        problems.push(Problem::new(kind, place).or(SecondReading::of(Change::LeftOut, [&here])));
    }
    // A row that stands three times was entered twice too often: what it would be without all of them.
    for (rows, said) in repeats.into_values().filter(|(rows, _)| rows.len() > 1) {
        for at in said {
            problems[at].other = Some(Box::new(SecondReading::of(Change::LeftOut, &rows)));
        }
    }
}

/// A text without what people vary when they enter it again: case, spaces and marks; a number stays as it is.
fn undressed(cell: &str) -> Cow<'_, str> {
    if !cell.chars().any(char::is_alphabetic) {
        return cell.into();
    }
    cell.chars()
        .filter(|letter| letter.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect::<String>()
        .into()
}

/// A day in the one way in which days are compared; the cell itself where it is none, or where a time of day tells it from others.
fn written_alike<'a>(table: &Table, row: &'a Record, at: usize) -> Cow<'a, str> {
    let cell = row.cell(at);
    if cell.contains(':') {
        return cell.into();
    }
    match date::day(cell, table.dates(row)) {
        Ok(Day::Certain(day) | Day::Either(day, _)) => day.to_string().into(),
        Err(_) => cell.into(),
    }
}
