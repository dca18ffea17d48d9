//! The header row: which one it is, and what is wrong with it.

use std::{
    borrow::Cow,
    collections::{BTreeMap, BTreeSet},
    sync::Arc,
};

use ecow::EcoString;

use crate::{
    intake::{
        mapped::same_heading,
        mapping::Mapping,
        nearest::{nearest, same},
        table::{
            Layout, Record, Table,
            grid::{Grid, Heading},
            heading::{Meant, ignored, makes, meant, mentioned, named},
            headless::headings_of_sums,
            holds, joined_position, key, likely,
            split::{DELIMITERS, records},
            totals::says_total,
            wide::STAR,
            workbook::Merge,
        },
    },
    problem::{Excerpt, Place, Problem, Reading, quoted},
};

/// The column of a part of a folder that tells where each row stands in the whole.
const ORIGINAL_ROW: &str = "original_row";

/// How many rows of titles and blanks may stand above the header.
pub(crate) const TITLES: usize = 40;

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

/// How many columns of the table and how many of the mapping's headings `record` names.
fn score(record: &Record, layout: &Layout, mapping: &Mapping) -> usize {
    let meant = |cell: &str| meant(cell, layout, mapping).map(|meant| meant.column.to_owned());
    let named = |cell: &EcoString| meant(cell).or_else(|| mentioned(cell, mapping).then(|| key(cell)));
    record.cells.iter().filter_map(named).collect::<BTreeSet<String>>().len()
}

/// Whether one of the first rows names every column that the table needs.
pub(crate) fn fits(records: &[Record], merges: &[Merge], layout: &Layout, mapping: &Mapping) -> bool {
    records.iter().take(TITLES).any(|record| {
        let record = completed(record, records, merges);
        let named: Vec<&str> =
            record.cells.iter().filter_map(|cell| Some(meant(cell, layout, mapping)?.column)).collect();
        let made = |column: &str| makes(column, layout, mapping);
        layout.required.iter().all(|column| named.contains(column) || made(column))
            && (!named.is_empty() || record.cells.iter().any(|cell| mentioned(cell, mapping)))
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

/// The headings in `records`, some of whose cells are joined, the rows below them, and the row in which the headings stand.
pub(crate) fn found(
    layout: &'static Layout,
    path: &str,
    mut records: Vec<Record>,
    merges: &[Merge],
    mapping: &Mapping,
    problems: &mut Vec<Problem>,
) -> Option<(Grid, u32)> {
    if !mapping.headings.is_empty() {
        let headings = mapping.headings.iter().map(|heading| Heading::typed(heading)).collect();
        return Some((Grid { headings, rows: records }, 0));
    }
    let rows = mapping.heading_rows.max(1);
    let header = |at: usize| match rows {
        1 => completed(&records[at], &records, merges),
        _ => Cow::Owned(joined(&records[(at + 1).saturating_sub(rows)..=at])),
    };
    let scores = (rows - 1..records.len().min(TITLES)).map(|at| (at, score(&header(at), layout, mapping)));
    // Columns that the mapping makes are in no heading.
    let asked = layout.required.iter().filter(|column| !makes(column, layout, mapping)).count();
    let wanted = asked.clamp(1, 2);
    // The first of the best.
    let best = scores.max_by_key(|&(at, score)| (score, std::cmp::Reverse(at)));
    let Some((at, _)) = best.filter(|&(_, score)| score >= wanted) else {
        let proposed = without_headings(layout, &records).or_else(|| {
            let (headings, rows) = likely_header(layout, &records);
            let holds = holds::beneath(&headings, &rows);
            let cells = |heading: &str| {
                let at = headings.iter().position(|other| other == heading);
                records.iter().filter_map(move |record| Some(record.cell(at?)))
            };
            let line = by_budget(mapping, headings.iter().cloned(), cells);
            let line = line.as_deref().filter(|_| layout.table == "spending");
            likely::mapping(layout, mapping, headings.clone(), line, &holds)
        });
        let kind = Reading::NoHeader { table: layout.table, wanted: layout.required.to_vec(), proposed };
        let first = records.into_iter().next();
        let row = first.as_ref().map(|record| record.row);
        let excerpt = first
            .map(|record| Box::new(Excerpt { header: vec![], cells: record.texts(), at: 0, made: false }));
        problems.push(Problem::new(kind, Place { row, excerpt, ..Place::file(path) }));
        return None;
    };
    let header = header(at).into_owned();
    let rows = records.split_off(at + 1);
    let headings = header.cells.iter().map(|cell| Heading::typed(cell)).collect();
    Some((Grid { headings, rows }, header.row))
}

/// The line that gives headings to a file that has none.
fn without_headings(layout: &Layout, records: &[Record]) -> Option<String> {
    let rows: Vec<Vec<String>> = records.iter().take(TITLES).map(Record::texts).collect();
    let headings = headings_of_sums(&rows).filter(|_| layout.table == "spending")?;
    let quoted: Vec<String> = headings.iter().map(|heading| quoted(heading)).collect();
    Some(format!("[tables.{}]\nheadings = [{}]", layout.table, quoted.join(", ")))
}

/// Rows of headings as one: each column's words from top to bottom. A word of an upper row that has others below it stands for the
/// columns to its right too, up to the next.
fn joined(rows: &[Record]) -> Record {
    let Some((last, upper)) = rows.split_last() else {
        return Record { row: 0, part: 0, cells: Vec::new() };
    };
    let width = rows.iter().map(|row| row.cells.len()).max().unwrap_or_default();
    let mut words: Vec<Vec<String>> = vec![Vec::new(); width];
    for (depth, row) in upper.iter().enumerate() {
        let mut group = "";
        for (at, words) in words.iter_mut().enumerate() {
            let below = rows[depth + 1..].iter().any(|row| !row.cell(at).is_empty());
            match row.cell(at) {
                "" if below => {}
                cell => group = cell,
            }
            words.extend((!group.is_empty()).then(|| group.to_owned()));
            if !below {
                group = "";
            }
        }
    }
    for (at, words) in words.iter_mut().enumerate() {
        let cell = last.cell(at);
        words.extend((!cell.is_empty()).then(|| cell.to_owned()));
    }
    let cells = words.into_iter().map(|words| words.join(" ").into()).collect();
    Record { row: last.row, part: last.part, cells }
}

/// The row whose cells likely name the most columns of the table, else the first that looks like headings: several cells, each a word; and the
/// first rows beneath it.
fn likely_header(layout: &'static Layout, records: &[Record]) -> (Vec<String>, Vec<Vec<String>>) {
    let all: Vec<Vec<String>> = records.iter().take(2 * TITLES).map(Record::texts).collect();
    let words = |at: &usize| all[*at].iter().filter(|cell| cell.contains(char::is_alphabetic)).count() > 1;
    let rows = || (0..all.len().min(TITLES)).filter(words);
    let fit = |at: usize| likely::fit(layout, &all[at], &holds::beneath(&all[at], &all[at + 1..]));
    let fitting = rows().filter_map(|at| Some((fit(at)?, at)));
    // The first of the best.
    let best = fitting.reduce(|best, next| if next.0 > best.0 { next } else { best });
    let at = best.map(|(_, at)| at).or_else(|| rows().next());
    at.map(|at| (all[at].clone(), all[at + 1..].to_vec())).unwrap_or_default()
}

/// Says what is wrong with the headings of a table: columns that are missing and columns that nobody knows, each with the other as its
/// likely name, and columns that stand for the same thing.
pub(crate) fn judge(table: &Table, mapping: &Mapping, problems: &mut Vec<Problem>) {
    let place = |at: Option<usize>| {
        let headings: Vec<String> = table.headings.iter().map(|heading| heading.text.clone()).collect();
        let column = at.and_then(|at| headings.get(at).cloned());
        let excerpt = at.map(|at| Box::new(Excerpt { header: vec![], cells: headings, at, made: false }));
        Place { path: Arc::clone(&table.path), row: Some(table.header()), column, excerpt }
    };
    unmatched(table, mapping, &place, problems);
    twice(table, &place, problems);
}

fn unmatched(
    table: &Table,
    mapping: &Mapping,
    place: &dyn Fn(Option<usize>) -> Place,
    problems: &mut Vec<Problem>,
) {
    let layout = table.layout;
    let free: Vec<&str> = layout.columns().filter(|column| table.position(column).is_none()).collect();
    let there = |theirs: &str| {
        mapping.headings.iter().any(|heading| key(heading) == key(theirs))
            || table.typed.iter().any(|heading| key(heading) == key(theirs))
    };
    // What the mapping names and can't have is said once, of the mapping.
    let claimed = |column: &str| {
        let absent = mapping.columns.iter().filter(|(theirs, _)| !there(theirs));
        absent.filter_map(|(_, ours)| named(ours, layout)).any(|meant| meant.column == column)
    };
    let told = |heading: &str| {
        mapping.columns.keys().any(|theirs| key(theirs) == key(heading))
            || mentioned(heading, mapping)
            || ignored(heading, mapping)
            || heading == STAR
            // A total beside columns that are made rows is held against them.
            || (!mapping.wide.is_empty() && says_total(heading))
            || joined_position::order(heading, layout).is_some()
            || named(heading, layout).is_some_and(|meant| claimed(meant.column))
    };
    let unknown: Vec<(usize, &str)> = table
        .headings
        .iter()
        .enumerate()
        .map(|(at, heading)| (at, heading.text.as_str()))
        .filter(|&(at, heading)| table.columns[at].is_none() && !told(heading))
        .collect();
    // A heading that is only filled down or chosen by may be the column that is missing.
    let asked_for = |heading: &str| {
        mapping.set.values().flat_map(|made| made.headings()).any(|it| key(it) == key(heading))
            || mapping.columns.keys().any(|theirs| key(theirs) == key(heading))
            || ignored(heading, mapping)
            || heading == STAR
    };
    let all = table.headings.iter().zip(&table.columns);
    let free_headings: Vec<String> = all
        .filter(|(heading, meant)| meant.is_none() && heading.made.is_none() && !asked_for(&heading.text))
        .map(|(heading, _)| heading.text.clone())
        .collect();
    let headings = || free_headings.iter().cloned();
    let missing: Vec<&str> = layout
        .required
        .iter()
        .copied()
        .filter(|column| free.contains(column) && !claimed(column) && !makes(column, layout, mapping))
        // What a mapping onto nothing takes away is said of the mapping.
        .filter(|column| {
            !mapping
                .columns
                .iter()
                .any(|(theirs, ours)| key(theirs) == *column && named(ours, layout).is_none())
        })
        .collect();
    let mut settled = None;
    if !missing.is_empty() {
        let by_budget = by_budget(mapping, headings(), |heading| {
            let at = table.headings.iter().position(|other| other.text == heading);
            table.rows.iter().filter_map(move |row| Some(row.cell(at?)))
        });
        settled = by_budget.filter(|_| missing.contains(&"line"));
        let holds = |heading: &str, column: &str| table.can_hold(heading, column);
        let proposed = likely::lines_with(layout, &missing, headings(), settled.as_deref(), &holds);
        let columns = missing.iter().map(|column| (*column).to_owned()).collect();
        let kind = Reading::ColumnMissing { table: layout.table, columns, proposed };
        problems.push(Problem::new(kind, place(None)));
    }
    let mut unused = Vec::new();
    for &(at, heading) in &unknown {
        let nameless = heading.is_empty();
        if nameless && table.rows.iter().all(|row| row.cell(at).is_empty()) {
            continue;
        }
        let column = if nameless { format!("{} (no heading)", letters(at)) } else { heading.to_owned() };
        // What the error of a missing column proposes is not proposed again.
        // What a part of a folder says of where its rows stand in the whole is no question.
        if key(heading) == ORIGINAL_ROW || settled.as_deref() == Some(heading) {
            continue;
        }
        let mut likely = likely::columns(heading, layout, &free);
        likely.retain(|likely| table.can_hold(heading, likely.column));
        let cells = table.rows.iter().map(|row| row.cell(at)).filter(|cell| !cell.is_empty());
        let joined = joined_position::likely(heading, layout, cells);
        if !joined.is_empty() && free.contains(&"longitude") && free.contains(&"easting") {
            let open = joined.len() > 1;
            let proposed = joined.iter().map(|order| likely::line(layout, &[(heading, order)])).collect();
            let kind = Reading::ColumnUnknown { table: layout.table, column, proposed, open };
            problems.push(Problem::new(kind, place(Some(at))));
            continue;
        }
        if likely.is_empty() {
            unused.push(column);
            continue;
        }
        let proposed = likely.into_iter().filter(|ours| !missing.contains(&ours.column)).collect::<Vec<_>>();
        if proposed.is_empty() {
            continue;
        }
        let proposed =
            proposed.iter().map(|ours| likely::line(layout, &[(heading, ours.name.as_str())])).collect();
        let kind = Reading::ColumnUnknown { table: layout.table, column, proposed, open: false };
        problems.push(Problem::new(kind, place(Some(at))));
    }
    if !unused.is_empty() {
        let kind = Reading::ColumnsUnused { table: layout.table, columns: unused };
        problems.push(Problem::new(kind, place(None)));
    }
    for (theirs, ours) in &mapping.columns {
        if named(ours, layout).is_none() && joined_position::order(ours, layout).is_none() {
            let nearest = nearest(&key(ours), layout.columns());
            let kind = Reading::MappedToNothing { table: layout.table, column: ours.clone(), nearest };
            problems.push(Problem::new(kind, setting(layout.table, "columns")));
        }
        if !there(theirs) {
            absent(table, theirs, "columns", problems);
        }
    }
    let made = mapping.set.keys().map(|ours| ("set", ours));
    let filled = mapping.wide.iter().map(|(_, ours)| ("wide", ours));
    let others = mapping.times.keys().map(|ours| ("times", ours));
    // `wide` may fill a column that only `set` reads.
    let read = |ours: &str| mapping.set.values().any(|made| made.headings().any(|it| same_heading(it, ours)));
    for (of, ours) in made.chain(filled).chain(others).filter(|(_, ours)| !read(ours)) {
        if named(ours, layout).is_none() {
            let nearest = nearest(&key(ours), layout.columns());
            let kind = Reading::MappedToNothing { table: layout.table, column: ours.clone(), nearest };
            problems.push(Problem::new(kind, setting(layout.table, of)));
        }
    }
}

/// The heading under which at least half of the cells are lines of the budget, the one with the most; `cells` gives those of a heading.
fn by_budget<'a, C: Iterator<Item = &'a str>>(
    mapping: &Mapping,
    headings: impl Iterator<Item = String>,
    cells: impl Fn(&str) -> C,
) -> Option<String> {
    if mapping.budget.is_empty() {
        return None;
    }
    let is_line = |cell: &str| mapping.budget.iter().any(|line| same(line, cell));
    let found = headings.filter_map(|heading| {
        let filled = cells(&heading).filter(|cell| !cell.is_empty());
        let (lines, all) =
            filled.fold((0, 0), |(lines, all), cell| (lines + usize::from(is_line(cell)), all + 1));
        (lines > 0 && 2 * lines >= all).then_some((lines, heading))
    });
    // The first of the best.
    let best = found.reduce(|best, next| if next.0 > best.0 { next } else { best });
    best.map(|(_, heading)| heading)
}

/// Says that the mapping names a heading that is not there.
pub(crate) fn absent(table: &Table, theirs: &str, of: &str, problems: &mut Vec<Problem>) {
    let nearest = nearest(theirs, table.typed.iter().map(String::as_str));
    let kind = Reading::MappedColumnAbsent { column: theirs.to_owned(), nearest };
    problems.push(Problem::new(kind, setting(table.layout.table, of)));
}

/// The place of a part of a mapping.
pub(crate) fn setting(table: &str, of: &str) -> Place {
    Place::file("project.toml").column(format!("tables.{table}.{of}"))
}

/// Columns that stand for the same thing.
fn twice(table: &Table, place: &dyn Fn(Option<usize>) -> Place, problems: &mut Vec<Problem>) {
    let mut seen = BTreeMap::new();
    for (at, Meant { column, .. }) in
        table.columns.iter().enumerate().filter_map(|(at, meant)| Some((at, (*meant)?)))
    {
        if let Some(first) = seen.insert(column, at) {
            let (one, other) = (&table.headings[first].text, &table.headings[at].text);
            let kind = match key(one) == key(other) {
                true => Reading::ColumnTwice { column: other.clone() },
                false => Reading::ColumnsAlike {
                    table: table.layout.table,
                    one: one.clone(),
                    other: other.clone(),
                    column,
                },
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
