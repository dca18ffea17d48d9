//! The header row: which one it is, and what is wrong with it.

use std::{borrow::Cow, collections::BTreeMap};

use crate::{
    intake::{
        cell::number::Mark,
        mapping::Mapping,
        nearest::nearest,
        table::{
            Layout, Record, Table,
            heading::{Meant, meant, named},
            key,
            split::{DELIMITERS, records},
            workbook::Merge,
        },
    },
    problem::{Excerpt, Place, Problem, Reading},
};

/// How many rows of titles and blanks may stand above the header.
const TITLES: usize = 40;

/// How much of a file is looked at to tell its delimiter, in bytes.
const LOOKED_AT: usize = 64 << 10;

/// What stands between the cells of `text`: whatever makes a header row of it.
pub(crate) fn delimiter(text: &str, layout: &Layout, mapping: &Mapping) -> u8 {
    let end = (0..=LOOKED_AT.min(text.len())).rev().find(|&at| text.is_char_boundary(at)).unwrap_or(0);
    let worth = |delimiter: u8| {
        // The end may cut a quotation in two; the rows before it tell enough.
        let records = records(&text[..end], delimiter).unwrap_or_else(|unclosed| unclosed.before);
        let header = records.iter().take(TITLES).map(|record| score(record, layout, mapping)).max();
        let widest = records.iter().map(|record| record.cells.len()).max();
        (header, widest)
    };
    // A letter that stands nowhere in the text parts nothing: most files need no second look.
    let there: Vec<u8> =
        DELIMITERS.into_iter().filter(|&delimiter| text.as_bytes()[..end].contains(&delimiter)).collect();
    if let [only] = there[..]
        && worth(only).0 >= Some(2)
    {
        return only;
    }
    // The first of equals: `max_by_key` would take the last.
    DELIMITERS.into_iter().rev().max_by_key(|&delimiter| worth(delimiter)).unwrap_or(b',')
}

/// How many columns of the table `record` names.
fn score(record: &Record, layout: &Layout, mapping: &Mapping) -> usize {
    let mut named: Vec<&str> = record
        .cells
        .iter()
        .filter_map(|cell| meant(cell, layout, mapping))
        .map(|meant| meant.column)
        .collect();
    named.sort_unstable();
    named.dedup();
    named.len()
}

/// Whether one of the first rows names every column that the table needs.
pub(crate) fn fits(records: &[Record], merges: &[Merge], layout: &Layout, mapping: &Mapping) -> bool {
    records.iter().take(TITLES).any(|record| {
        let record = completed(record, records, merges);
        let named: Vec<&str> =
            record.cells.iter().filter_map(|cell| Some(meant(cell, layout, mapping)?.column)).collect();
        layout.required.iter().all(|column| named.contains(column))
    })
}

/// The row with the headings that reach down to it from joined cells above.
fn completed<'a>(record: &'a Record, records: &[Record], merges: &[Merge]) -> Cow<'a, Record> {
    let row = record.row;
    let mut record = Cow::Borrowed(record);
    for merge in merges.iter().filter(|merge| merge.bottom == row && merge.top < merge.bottom) {
        let above = records.iter().find(|above| above.row == merge.top).map(|above| above.cell(merge.left));
        if let Some(heading) = above.filter(|_| record.cell(merge.left).is_empty()) {
            let heading = heading.into();
            let cells = &mut record.to_mut().cells;
            if cells.len() <= merge.left {
                cells.resize(merge.left + 1, Default::default());
            }
            cells[merge.left] = heading;
        }
    }
    record
}

/// The table below the header in `records`, some of whose cells are joined.
pub(crate) fn found(
    layout: &'static Layout,
    path: &str,
    mut records: Vec<Record>,
    merges: &[Merge],
    mapping: &Mapping,
    problems: &mut Vec<Problem>,
) -> Option<Table> {
    let scores = records
        .iter()
        .take(TITLES)
        .map(|record| score(&completed(record, &records, merges), layout, mapping));
    // The first of the best.
    let best = scores.enumerate().max_by_key(|&(at, score)| (score, std::cmp::Reverse(at)));
    let Some((at, _)) = best.filter(|&(_, score)| score >= layout.required.len().min(2)) else {
        let kind = Reading::NoHeader { table: layout.table, wanted: layout.required.to_vec() };
        let first = records.into_iter().next();
        let row = first.as_ref().map(|record| record.row);
        let excerpt = first.map(|record| Excerpt { header: vec![], cells: record.texts(), at: 0 });
        problems.push(Problem::new(kind, Place { row, excerpt, ..Place::file(path) }));
        return None;
    };
    let rows = records.split_off(at + 1);
    let header = completed(records.last()?, &records, merges).into_owned();
    let headings: Vec<String> = header.cells.iter().map(|cell| cell.trim().to_owned()).collect();
    let columns = headings.iter().map(|heading| meant(heading, layout, mapping)).collect();
    let (path, dates) = (path.into(), mapping.dates);
    let table = Table {
        path,
        layout,
        headings,
        columns,
        header: header.row,
        rows,
        excused: vec![],
        dates,
        mark: Mark::Point,
    };
    let place = |at: Option<usize>| {
        let excerpt = Excerpt { header: vec![], cells: table.headings.clone(), at: at.unwrap_or(0) };
        let column = at.and_then(|at| table.headings.get(at).cloned());
        Place { path: table.path.clone(), row: Some(header.row), column, excerpt: at.map(|_| excerpt) }
    };
    unmatched(&table, mapping, &place, problems);
    twice(&table, &place, problems);
    Some(table)
}

/// Columns that are missing and columns that nobody knows, each with the other as its likely name.
fn unmatched(
    table: &Table,
    mapping: &Mapping,
    place: &dyn Fn(Option<usize>) -> Place,
    problems: &mut Vec<Problem>,
) {
    let layout = table.layout;
    let free: Vec<&str> = layout.columns().filter(|column| table.position(column).is_none()).collect();
    let there = |theirs: &str| table.headings.iter().any(|heading| key(heading) == key(theirs));
    // What the mapping names and can't have is said once, of the mapping.
    let claimed = |column: &str| {
        let absent = mapping.columns.iter().filter(|(theirs, _)| !there(theirs));
        absent.filter_map(|(_, ours)| named(ours, layout)).any(|meant| meant.column == column)
    };
    let told = |heading: &str| {
        mapping.columns.keys().any(|theirs| key(theirs) == key(heading))
            || named(heading, layout).is_some_and(|meant| claimed(meant.column))
    };
    let unknown: Vec<(usize, &String)> = table
        .headings
        .iter()
        .enumerate()
        .filter(|&(at, heading)| table.columns[at].is_none() && !told(heading))
        .collect();
    for column in layout.required.iter().filter(|column| free.contains(column) && !claimed(column)) {
        let nearest = nearest(column, unknown.iter().map(|(_, heading)| heading.as_str()));
        let kind = Reading::ColumnMissing { table: layout.table, column: (*column).to_owned(), nearest };
        problems.push(Problem::new(kind, place(None)));
    }
    for (at, heading) in unknown {
        let nameless = heading.is_empty();
        if nameless && table.rows.iter().all(|row| row.cell(at).is_empty()) {
            continue;
        }
        let column = if nameless { format!("{} (no heading)", letters(at)) } else { heading.clone() };
        let nearest = nearest(&key(heading), free.iter().copied());
        let kind = Reading::ColumnUnknown { table: layout.table, column, nearest };
        problems.push(Problem::new(kind, place(Some(at))));
    }
    for (theirs, ours) in &mapping.columns {
        if named(ours, layout).is_none() {
            let nearest = nearest(&key(ours), layout.columns());
            let kind = Reading::MappedToNothing { table: layout.table, column: ours.clone(), nearest };
            problems.push(Problem::new(kind, setting(layout.table)));
        }
        if !there(theirs) {
            let nearest = nearest(theirs, table.headings.iter().map(String::as_str));
            let kind = Reading::MappedColumnAbsent { column: theirs.clone(), nearest };
            problems.push(Problem::new(kind, setting(layout.table)));
        }
    }
}

/// The place of a mapping.
fn setting(table: &str) -> Place {
    Place::file("project.toml").column(format!("tables.{table}.columns"))
}

/// Columns that stand for the same thing.
fn twice(table: &Table, place: &dyn Fn(Option<usize>) -> Place, problems: &mut Vec<Problem>) {
    let mut seen = BTreeMap::new();
    for (at, Meant { column, .. }) in
        table.columns.iter().enumerate().filter_map(|(at, meant)| Some((at, (*meant)?)))
    {
        if let Some(first) = seen.insert(column, at) {
            let (one, other) = (&table.headings[first], &table.headings[at]);
            let kind = match key(one) == key(other) {
                true => Reading::ColumnTwice { column: other.clone() },
                false => Reading::ColumnsAlike { one: one.clone(), other: other.clone(), column },
            };
            problems.push(Problem::new(kind, place(Some(at))));
        }
    }
}

/// The letters that a spreadsheet puts above the column at `at`: A, B … Z, AA.
fn letters(at: usize) -> String {
    let mut letters = String::new();
    let mut rest = at + 1;
    while rest > 0 {
        letters.insert(0, char::from(b'A' + ((rest - 1) % 26) as u8));
        rest = (rest - 1) / 26;
    }
    letters
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_have_the_letters_of_a_spreadsheet() {
        assert_eq!([0, 25, 26, 51, 52, 701, 702].map(letters), ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]);
    }
}
