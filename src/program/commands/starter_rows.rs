//! What stands in a folder of the invented example that `new` writes, word for word: it would be reported as the user's own.

use std::collections::BTreeSet;

use hillfolio_core::{
    intake::Folder,
    problem::{Place, Plausibility, Problem},
    project::{Cell, Project},
    source::Row,
};
use hillfolio_documents::pack;

/// Lines of a file that are looked at: what the example wrote stands at its top.
const LOOKED_AT: usize = 1_000;

/// Filled cells from which a row of the example is known, whatever columns its table has by now (common practice, no source).
const TELLING: usize = 5;

/// Settings of the example that name the project.
const NAMES: [&str; 3] = ["name =", "reference =", "landholder ="];

/// Says which rows, layers, settings and words of `folder` are the example's own.
pub(super) fn doubt(folder: &Folder, project: &Project, problems: &mut Vec<Problem>) {
    for (path, example) in pack::starter() {
        let read = project.inputs.iter().any(|input| &*input.path == *path);
        let Some(bytes) = folder.bytes(path).ok().filter(|_| read) else { continue };
        if path.ends_with(".csv") {
            rows(path, &bytes, example, problems);
        } else if *path == "project.toml" {
            settings(&bytes, example, problems);
        } else if bytes == *example {
            let what = if path.ends_with(".md") { "the words are those" } else { "the shapes are those" };
            problems.push(Problem::new(Plausibility::StarterRow { what }, Place::file(*path)));
        }
    }
    taken_elsewhere(project, problems);
}

/// Rows of the example that were taken into a table under other headings or into a workbook: their cells stand in a row that was read.
fn taken_elsewhere(project: &Project, problems: &mut Vec<Problem>) {
    for table in project.tables() {
        let path = format!("{}.csv", table.name);
        let Some((_, example)) = pack::starter().iter().find(|(own, _)| **own == *path) else { continue };
        let example = String::from_utf8_lossy(example);
        let known: Vec<BTreeSet<String>> = example
            .lines()
            .map(|line| cells(line).into_iter().map(plain).collect())
            .filter(|cells: &BTreeSet<String>| cells.len() >= TELLING)
            .collect();
        for (row, source) in table.rows.zip(sources(project, table.name)).take(LOOKED_AT) {
            let own: BTreeSet<String> = row.iter().filter_map(written).collect();
            let is_known = known.iter().any(|cells| cells.is_subset(&own));
            let place = Place::row(source);
            let is_told = |problem: &Problem| {
                let told = &problem.place;
                problem.kind.code() == "starter-row" && (&told.path, told.row) == (&place.path, place.row)
            };
            if is_known && !problems.iter().any(is_told) {
                problems.push(Problem::new(
                    Plausibility::StarterRow { what: "the row is one" },
                    Place::row(source),
                ));
            }
        }
    }
}

/// Where the rows of a table of the example stand.
fn sources<'a>(project: &'a Project, table: &str) -> Vec<&'a Row> {
    match table {
        "plantings" => project.plantings.iter().map(|row| &row.source).collect(),
        "plots" => project.plots.iter().map(|row| &row.source).collect(),
        "tallies" => project.tallies.iter().map(|row| &row.source).collect(),
        "stems" => project.stems.iter().map(|row| &row.source).collect(),
        "works" => project.works.iter().map(|row| &row.source).collect(),
        "spending" => project.spending.iter().map(|row| &row.source).collect(),
        "slopes" => project.slopes.iter().map(|row| &row.source).collect(),
        _ => Vec::new(),
    }
}

/// A cell of the example; a number as numbers are written here.
fn plain(cell: &str) -> String {
    cell.parse::<f64>().map_or_else(|_| cell.to_owned(), |number| number.to_string())
}

/// A cell as the example would write it.
fn written(cell: &Cell) -> Option<String> {
    match cell {
        Cell::Empty => None,
        Cell::Text(text) => Some(text.clone()),
        Cell::Number(number) => Some(number.to_string()),
        Cell::Money(sum) => Some(sum.number().to_string()),
        Cell::Day(day) => Some(day.to_string()),
    }
}

/// The rows of a table below its heading, which stays as it is.
fn rows(path: &str, bytes: &[u8], example: &[u8], problems: &mut Vec<Problem>) {
    let (own, example) = (String::from_utf8_lossy(bytes), String::from_utf8_lossy(example));
    // A title stands in quotes above the heading.
    let known: Vec<&str> =
        example.lines().map(str::trim).skip_while(|line| line.starts_with('"')).skip(1).collect();
    let filled: Vec<Vec<&str>> = known.iter().map(|line| cells(line)).collect();
    let lines = (1..).zip(own.lines().map(str::trim)).take(LOOKED_AT);
    let is_known = |line: &str| {
        let own = cells(line);
        known.contains(&line) || filled.iter().any(|cells| cells.len() >= TELLING && holds(&own, cells))
    };
    for (row, _) in lines.filter(|(_, line)| !line.is_empty() && is_known(line)) {
        let place = Place { row: Some(row), ..Place::file(path) };
        problems.push(Problem::new(Plausibility::StarterRow { what: "the row is one" }, place));
    }
}

/// The filled cells of a line.
fn cells(line: &str) -> Vec<&str> {
    line.split(',').map(str::trim).filter(|cell| !cell.is_empty()).collect()
}

/// Whether `cells` stand among those of a row in their order, whatever columns were put between.
fn holds(row: &[&str], cells: &[&str]) -> bool {
    let mut row = row.iter();
    cells.iter().all(|cell| row.any(|own| own == cell))
}

fn settings(bytes: &[u8], example: &[u8], problems: &mut Vec<Problem>) {
    let (own, example) = (String::from_utf8_lossy(bytes), String::from_utf8_lossy(example));
    let names = |line: &&str| NAMES.iter().any(|name| line.starts_with(name));
    let known: Vec<&str> = example.lines().map(str::trim).filter(names).collect();
    for (row, _) in (1..).zip(own.lines().map(str::trim)).filter(|(_, line)| known.contains(line)) {
        let place = Place { row: Some(row), ..Place::file("project.toml") };
        problems.push(Problem::new(Plausibility::StarterRow { what: "the setting is one" }, place));
    }
}
