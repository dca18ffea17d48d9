//! What taking up a table did to it, told once for each cause.

use std::{collections::BTreeMap, sync::Arc};

use crate::{
    intake::{
        cell::{
            Taken, Way,
            number::{self, Mark},
        },
        mapping::{Blank, Mapping},
        table::{
            Record, Table, header,
            held::{self, Held},
            likely,
            part::Shaping,
        },
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
        ("came_in", mapping.came_in.keys().collect()),
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

/// What is said of the rows that the settings leave out, and what these hold; of rows that `once` leaves out only where they hold something
/// that counts.
pub(crate) fn left(mapping: &Mapping, told: &Shaping) -> Vec<(Reading, Vec<Held>)> {
    let mut by: Vec<String> = Vec::new();
    for (setting, chosen) in [("skip", &mapping.skip), ("only", &mapping.only)] {
        for (column, patterns) in chosen.iter().filter(|(column, _)| met(told, setting, column)) {
            let values: Vec<String> = patterns.iter().map(|pattern| pattern.told()).collect();
            let is = if setting == "skip" { "is" } else { "is not" };
            by.push(format!("{column} {is} {}", values.join(" or ")));
        }
    }
    let again = format!("of those that agree in {} the first is taken", mapping.once.join(", "));
    let one = |by: String, (left, held): &(usize, Vec<Held>)| {
        let mut held_there = held::told(held, *left);
        if told.left_in.len() > 1 {
            held_there.push_str(&format!("; they stand in {}", told.left_in.join(", ")));
        }
        let kind = Reading::RowsLeftOut { left: *left, rows: told.rows, by, held: held_there };
        (kind, held.clone())
    };
    let mut all = Vec::new();
    all.extend((told.left.0 > 0).then(|| one(by.join(", or "), &told.left)));
    all.extend((!told.again.1.is_empty()).then(|| one(again, &told.again)));
    all
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
            above_of(table, ours, at, said);
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

/// Tells of empty cells of a column that names what rows are of what stands above them, where anything does and the row holds anything else
/// that it must.
fn above_of(table: &Table, ours: &str, at: usize, said: &mut [Problem]) {
    let needed: Vec<usize> =
        table.layout.required.iter().filter_map(|column| table.position(column)).map(|(at, _)| at).collect();
    let mut first = None;
    let numbered = |(at, row): (usize, &Record)| ((&**table.path_of(row), row.row), at);
    let mut places: BTreeMap<(&str, u32), usize> = BTreeMap::new();
    for problem in said.iter_mut() {
        let Kind::Reading(Reading::CellEmpty { column, above, .. }) = &mut problem.kind else { continue };
        if column != ours {
            continue;
        }
        if places.is_empty() {
            places = table.rows.iter().enumerate().map(numbered).collect();
        }
        let place = (&*problem.place.path, problem.place.row.unwrap_or_default());
        let Some(&here) = places.get(&place) else { continue };
        if needed.iter().all(|at| table.rows[here].cell(*at).is_empty()) {
            continue;
        }
        // One is enough to show what is meant, and keeps what is alike together.
        let shown = first.get_or_insert_with(|| {
            let filled = table.rows[..here].iter().rev().find(|row| !row.cell(at).is_empty());
            filled.map(|row| row.cell(at).to_owned())
        });
        above.clone_from(shown);
    }
}

/// Joins what was `said` of empty sums in rows that hold a sum in a column that nothing reads, and that is empty wherever a sum is read: it is
/// one question, and the heading needs no other.
fn sum_beside(table: &Table, said: &mut Vec<Problem>, problems: &mut Vec<Problem>) {
    let is_of = |problem: &Problem| matches!(&problem.kind, Kind::Reading(Reading::CellEmpty { column, .. }) if column == "amount");
    let Some((amount, _)) = table.position("amount") else { return };
    let Some(first) = said.iter().position(is_of) else { return };
    let holds =
        |row: &Record, at: usize| held::sum(row.cell(at), table.mark(row)).is_some_and(|sum| !sum.is_zero());
    let (empty, filled): (Vec<&Record>, Vec<&Record>) =
        table.rows.iter().partition(|row| row.cell(amount).is_empty());
    let beside = (0..table.headings.len()).filter(|at| table.columns[*at].is_none()).find(|&at| {
        !empty.is_empty()
            && empty.iter().all(|row| holds(row, at))
            && !filled.iter().any(|row| holds(row, at))
    });
    let Some(beside) = beside else { return };
    let heading = |at: usize| table.headings[at].text.clone();
    let other = heading(beside);
    // The heading needs no other word.
    for problem in problems.iter_mut() {
        if let Kind::Reading(Reading::ColumnsUnused { table: of, columns }) = &mut problem.kind
            && *of == table.layout.table
        {
            columns.retain(|column| *column != other);
        }
    }
    problems.retain(|problem| match &problem.kind {
        Kind::Reading(Reading::ColumnUnknown { table: of, column, .. }) => {
            *of != table.layout.table || *column != other
        }
        Kind::Reading(Reading::ColumnsUnused { columns, .. }) => !columns.is_empty(),
        _ => true,
    });
    let kind = Reading::SumInAnotherColumn {
        column: heading(amount),
        sure: likely::stands_for(&other, table.layout, "money_in"),
        rows: empty.len(),
        first: empty[0].cell(beside).to_owned(),
        other,
    };
    said[first].kind = kind.into();
    said.retain(|problem| !is_of(problem));
}

/// Joins what was `said` of numbers of a column in which every cell is one with a comma before the decimals, unless another column that is read
/// has points there.
fn commas(table: &Table, said: &mut Vec<Problem>) {
    if table.mapping.decimals.is_some() {
        return;
    }
    let reads = |cell: &str, mark| number::plain(number::without_unit(cell), mark).is_some();
    let only = |cell: &str, mark, other| reads(cell, mark) && !reads(cell, other);
    let with_point = |row: &Record, at: usize| only(row.cell(at), Mark::Point, Mark::Comma);
    // The numbers of a workbook are told from its texts; what else it holds is none of a point.
    let points = !crate::intake::table::is_workbook(&table.path)
        && table.used().any(|at| table.rows.iter().any(|row| with_point(row, at)));
    if points {
        return;
    }
    let is_number = |problem: &Problem| {
        let kind = &problem.kind;
        matches!(kind, Kind::Reading(Reading::NumberUnreadable { .. } | Reading::NumberAmbiguous { .. }))
    };
    for at in table.used().collect::<Vec<_>>() {
        let heading = table.headings[at].text.clone();
        let is_of = |problem: &Problem| is_number(problem) && problem.place.column.as_ref() == Some(&heading);
        let Some(first) = said.iter().position(is_of) else { continue };
        let cells = || table.rows.iter().map(|row| row.cell(at)).filter(|cell| !cell.is_empty());
        let example = cells().find(|cell| only(cell, Mark::Comma, Mark::Point));
        // Of a workbook's own numbers the point is the program's.
        let Some(example) =
            example.filter(|_| cells().all(|cell| reads(cell, Mark::Comma) || reads(cell, Mark::Point)))
        else {
            continue;
        };
        let count = said.iter().filter(|problem| is_of(problem)).count();
        let (table, example) = (table.layout.table, example.to_owned());
        said[first].kind =
            Reading::DecimalCommas { table, column: heading.clone(), cells: count, example }.into();
        said.retain(|problem| !is_of(problem));
    }
}

/// Adds what was `said` of the rows: where more than half of a column can't be read it is said once, of the column. Tells besides, once a
/// column, what was taken for something else than stands there.
pub(crate) fn reading(table: &Table, mut said: Vec<Problem>, taken: &Taken, problems: &mut Vec<Problem>) {
    written_once(table, &mut said);
    sum_beside(table, &mut said, problems);
    commas(table, &mut said);
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
            Way::Sides(_) => Reading::SizeOfSides { found, read_as, cells }.into(),
            Way::About | Way::Trace => Reading::TakenFor { found, read_as, cells }.into(),
        };
        // A row of a wide table has become several.
        let of_row = || table.rows.iter().filter(|record| (record.part, record.row) == told.row);
        let record = of_row().find(|record| record.cell(at) == told.found).or_else(|| of_row().next());
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
