//! What taking up a table did to it, told once for each cause.

use std::{collections::BTreeMap, sync::Arc};

use crate::{
    intake::{
        cell::{Taken, Way},
        mapping::Blank,
        table::{Record, Table, header, part::Shaping},
    },
    problem::{Change, Kind, Place, Problem, Reading, Records, SecondReading},
    source::Row,
};

/// A column of which so many cells can't be read is misread as a whole.
const MISREAD: usize = 5;

/// Tells what laying out the parts of the table did: rows that were left out, cells that made none, and settings that met nothing.
pub(crate) fn shaping(table: &Table, told: &Shaping, problems: &mut Vec<Problem>) {
    let (mapping, name) = (&table.mapping, table.layout.table);
    let whole = || Place::file(Arc::clone(&table.path));
    if told.left > 0 {
        let mut by: Vec<String> = Vec::new();
        for (setting, chosen) in [("skip", &mapping.skip), ("only", &mapping.only)] {
            for (column, patterns) in chosen.iter().filter(|(column, _)| met(told, setting, column)) {
                let values: Vec<String> = patterns.iter().map(|pattern| pattern.told()).collect();
                let is = if setting == "skip" { "is" } else { "is not" };
                by.push(format!("{column} {is} {}", values.join(" or ")));
            }
        }
        let kind = Reading::RowsLeftOut { left: told.left, rows: told.rows, by: by.join(", or ") };
        problems.push(Problem::new(kind, whole()));
    }
    for (choice, _) in told.met.iter().filter(|(_, rows)| **rows == 0) {
        let (column, value) = (choice.column.clone(), choice.value.clone());
        let place = header::setting(name, choice.setting);
        problems.push(Problem::new(Reading::ChoiceOfNothing { column, value }, place));
    }
    if told.without > 0 && !wide_columns(table).all(|column| answered(table, column)) {
        let column = wide_columns(table).next().unwrap_or_default().to_owned();
        let kind = Reading::CellsWithoutRow { table: name, cells: told.without, column };
        problems.push(Problem::new(kind, whole()));
    }
    if !mapping.wide.is_empty()
        && !told.wide
        && table.headings().all(|heading| heading != crate::intake::table::wide::STAR)
    {
        absent(table, "wide", "a heading that `wide` names", problems);
    }
    for heading in &told.lacking {
        header::absent(table, heading, "set", problems);
    }
    let there = |column: &str| {
        table.typed.iter().any(|heading| crate::intake::mapped::same_heading(heading, column))
            || table.place_of(column).is_some()
    };
    let lists = [
        ("fill_down", mapping.fill_down.iter().collect::<Vec<_>>()),
        ("skip", mapping.skip.keys().collect()),
        ("only", mapping.only.keys().collect()),
        ("once", mapping.once.iter().collect()),
        ("wrapped", mapping.wrapped.iter().collect()),
        ("sum", mapping.sum.iter().collect()),
        ("values", mapping.values.keys().collect()),
        ("blank", mapping.blank.keys().collect()),
    ];
    for (setting, columns) in lists {
        for column in columns.into_iter().filter(|column| !there(column)) {
            header::absent(table, column, setting, problems);
        }
    }
}

fn absent(table: &Table, setting: &str, what: &str, problems: &mut Vec<Problem>) {
    let kind = Reading::MappedColumnAbsent { column: what.to_owned(), nearest: None };
    problems.push(Problem::new(kind, header::setting(table.layout.table, setting)));
}

fn met(told: &Shaping, setting: &str, column: &str) -> bool {
    told.met.iter().any(|(choice, _)| choice.setting == setting && choice.column == column)
}

/// The columns into which a wide table's cells go.
fn wide_columns(table: &Table) -> impl Iterator<Item = &str> {
    table.mapping.wide.iter().map(|(_, column)| column.as_str())
}

/// Whether the settings say what an empty cell of the column stands for.
fn answered(table: &Table, column: &str) -> bool {
    let same = |(name, _): (&String, &Blank)| crate::intake::mapped::same_heading(name, column);
    table.mapping.blank.iter().any(same)
}

/// Columns whose cells name what a row is of, so that people write them once for the rows beneath.
const REPEATED: [&str; 4] = ["date", "area", "plot", "species"];

/// Joins what was `said` of empty cells of a column that names what rows are of, where it is filled in the rows above and nothing else is
/// missing of the record: it was written once.
fn written_once(table: &Table, said: &mut Vec<Problem>) {
    let needed: Vec<(usize, &'static str)> = table
        .layout
        .required
        .iter()
        .filter_map(|column| table.position(column).map(|(at, _)| (at, *column)))
        .collect();
    let (repeated, rest): (Vec<_>, Vec<_>) =
        needed.iter().copied().partition(|(_, column)| REPEATED.contains(column));
    for (at, ours) in repeated {
        let is_whole = |row: &Record| {
            rest.iter().all(|(at, _)| !row.cell(*at).is_empty()) && table.layout.required.len() > 1
        };
        let empty: Vec<&Record> = table.rows.iter().filter(|row| row.cell(at).is_empty()).collect();
        let above = table.rows.first().map(|row| row.cell(at)).filter(|cell| !cell.is_empty());
        let Some(above) = above.filter(|_| empty.len() > 1 && empty.iter().all(|row| is_whole(row))) else {
            continue;
        };
        let heading = table.headings().nth(at).unwrap_or_default().to_owned();
        let is_of = |problem: &Problem| matches!(&problem.kind, Kind::Reading(Reading::CellEmpty { column, .. }) if column == ours);
        let Some(first) = said.iter().position(is_of) else { continue };
        let (above, cells) = (above.to_owned(), empty.len());
        said[first].kind =
            Reading::WrittenOnce { table: table.layout.table, column: heading, ours, above, cells }.into();
        said.retain(|problem| !is_of(problem));
    }
}

/// Adds what was `said` of the rows: where more than half of a column can't be read it is said once, of the column. Tells besides, once a
/// column, what was taken for something else than stands there.
pub(crate) fn reading(table: &Table, mut said: Vec<Problem>, taken: &Taken, problems: &mut Vec<Problem>) {
    written_once(table, &mut said);
    let mut faults: BTreeMap<String, usize> = BTreeMap::new();
    for problem in said.iter().filter(|problem| misread(&problem.kind)) {
        *faults.entry(problem.place.column.clone().unwrap_or_default()).or_default() += 1;
    }
    faults.retain(|column, cells| {
        let at = table.headings().position(|heading| heading == column);
        let filled = table.rows.iter().filter(|row| at.is_some_and(|at| !row.cell(at).is_empty())).count();
        *cells >= MISREAD && *cells * 2 > filled
    });
    let words = words(&said, table);
    let ambiguous = |problem: &&Problem| matches!(problem.kind, Kind::Reading(Reading::DateAmbiguous { .. }));
    let mut days: BTreeMap<String, (Kind, SecondReading)> = BTreeMap::new();
    for problem in said.iter().filter(ambiguous) {
        let column = problem.place.column.clone().unwrap_or_default();
        days.entry(column).or_insert_with(|| {
            let of_column =
                said.iter().filter(ambiguous).filter(|other| other.place.column == problem.place.column);
            as_one(&problem.kind, of_column.collect())
        });
    }
    for mut problem in said {
        let column = problem.place.column.clone().unwrap_or_default();
        match (faults.get_mut(&column), misread(&problem.kind)) {
            (Some(0), true) => {}
            (Some(cells), true) => {
                let kind = Reading::ColumnMisread {
                    column,
                    cells: *cells,
                    first: problem.kind.to_string(),
                    help: problem.kind.message().help.unwrap_or_default(),
                };
                problem.kind = kind.into();
                problems.push(problem);
                *cells = 0;
            }
            _ => {
                let unknown = matches!(problem.kind, Kind::Reading(Reading::WordUnknown { .. }));
                if let Some(all) = words.get(&column).filter(|_| unknown) {
                    problem.kind = all.clone();
                }
                if let Some((kind, other)) = days.get(&column).filter(|_| ambiguous(&&problem)) {
                    problem = Problem::new(kind.clone(), problem.place).or(other.clone());
                }
                problems.push(problem);
            }
        }
    }
    for told in taken.told() {
        let at = table.place_of(told.column).unwrap_or_default();
        let (found, read_as, cells) = (told.found.to_owned(), told.read_as.to_owned(), told.cells);
        let kind: Kind = match told.way {
            Way::Name(_) => Records::CommonName { found, species: read_as, cells }.into(),
            Way::About | Way::Trace => Reading::TakenFor { found, read_as, cells }.into(),
        };
        let record = table.rows.iter().find(|record| (record.part, record.row) == told.row);
        problems.extend(record.map(|record| Problem::new(kind, table.place(record, at))));
    }
}

/// Days of a column that could each be two as one problem, with what it would be if all of them were the other.
fn as_one(first: &Kind, all: Vec<&Problem>) -> (Kind, SecondReading) {
    let mut kind = first.clone();
    if let Kind::Reading(Reading::DateAmbiguous { cells, .. }) = &mut kind {
        *cells = all.len();
    }
    let row =
        |problem: &&Problem| Some(Row { file: Arc::clone(&problem.place.path), row: problem.place.row? });
    let rows: Vec<Row> = all.iter().filter_map(row).collect();
    (kind, SecondReading::of(Change::DayForMonth, &rows))
}

/// By column, all its words that are none of ours as one problem, where there are several of them or one that is like none.
fn words(said: &[Problem], table: &Table) -> BTreeMap<String, Kind> {
    let mut all: BTreeMap<String, (Vec<String>, Vec<String>)> = BTreeMap::new();
    let mut far: Vec<String> = Vec::new();
    for problem in said {
        let Kind::Reading(Reading::WordUnknown { found, known, nearest }) = &problem.kind else { continue };
        if nearest.is_none() {
            far.extend(problem.place.column.clone());
        }
        let column = problem.place.column.clone().unwrap_or_default();
        let (words, _) = all.entry(column).or_insert_with(|| (Vec::new(), known.clone()));
        if !words.contains(found) {
            words.push(found.clone());
        }
    }
    // One word that is like none of ours may stand in every row: what it stands for is said once.
    let several = all.into_iter().filter(|(column, (words, _))| words.len() > 1 || far.contains(column));
    several
        .filter_map(|(column, (found, known))| {
            let at = table.headings().position(|heading| heading == column)?;
            let ours = table.columns.get(at).copied().flatten()?.column.to_owned();
            let table = table.layout.table;
            Some((column.clone(), Reading::WordsUnknown { table, column, ours, found, known }.into()))
        })
        .collect()
}

/// Whether the problem is that a cell can't be read as what its column holds.
fn misread(kind: &Kind) -> bool {
    matches!(
        kind,
        Kind::Reading(
            Reading::DateUnreadable { .. }
                | Reading::YearAlone { .. }
                | Reading::NumberUnreadable { .. }
                | Reading::NumberAmbiguous { .. }
                | Reading::OtherCurrency { .. }
                | Reading::CellEmpty { .. }
        )
    )
}
