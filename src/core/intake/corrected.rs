//! `corrections.csv`: single cells of tables, what stands in each and what should. It is read beside the tables and changes none of
//! their files.

use std::sync::Arc;

use crate::{
    intake::{
        mapped::same_heading,
        nearest::folded,
        reader::Reader,
        table::{Grid, Heading, Part, Record},
    },
    problem::{CellCorrection, Place, Problem, Reading, WHOLE_ROW, whole_row},
};

/// The file of the corrections.
pub const CORRECTIONS: &str = "corrections.csv";

/// Its headings.
const HEADINGS: [&str; 5] = ["file", "row", "column", "read", "correct"];

/// Corrections of cells, each with its row in `corrections.csv`.
pub(crate) type Corrections = Arc<[(u32, CellCorrection)]>;

/// The corrections of the folder; none where it has no such file.
pub(crate) fn read(files: &[String], reader: &Reader<'_>, problems: &mut Vec<Problem>) -> Corrections {
    if !files.iter().any(|file| file == CORRECTIONS) {
        return Corrections::default();
    }
    let Some(text) = reader.text(CORRECTIONS, problems) else { return Corrections::default() };
    let mut found: Vec<(u32, CellCorrection)> = Vec::new();
    let mut lines = csv::ReaderBuilder::new().from_reader(text.as_bytes());
    let heads = lines.headers().is_ok_and(|heads| heads.iter().map(folded).eq(HEADINGS));
    if !heads {
        problems
            .push(Problem::new(Reading::NoCorrections, Place { row: Some(1), ..Place::file(CORRECTIONS) }));
        return Corrections::default();
    }
    for (number, line) in (2..).zip(lines.records()) {
        let place = || Place { row: Some(number), ..Place::file(CORRECTIONS) };
        let one = line.ok().and_then(|line| {
            let cell = |at: usize| line.get(at).map(|cell| unwritten(cell.trim()).to_owned());
            Some(CellCorrection {
                file: cell(0)?,
                row: cell(1)?.parse().ok()?,
                column: cell(2)?,
                read: cell(3)?,
                correct: cell(4)?,
            })
        });
        let Some(one) = one else {
            problems.push(Problem::new(Reading::NoCorrections, place()));
            continue;
        };
        let same = |(_, known): &&(u32, CellCorrection)| {
            known.file == one.file && known.row == one.row && same_heading(&known.column, &one.column)
        };
        if let Some((first, _)) = found.iter().find(same) {
            problems.push(Problem::new(Reading::CorrectedTwice { first: *first }, place()));
            continue;
        }
        found.push((number, one));
    }
    found.into()
}

/// `text`, the text of a `corrections.csv` or nothing, with the corrections of `cells` in it; one of a cell that is corrected already
/// takes its place. `None` where the text is no such list.
#[must_use]
pub fn with_corrections(text: &str, cells: &[CellCorrection]) -> Option<String> {
    let mut lines: Vec<[String; 5]> = Vec::new();
    if !text.is_empty() {
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
        for line in reader.records() {
            let cells: Vec<String> = line.ok()?.iter().map(str::to_owned).collect();
            lines.push(cells.try_into().ok()?);
        }
        if !lines.first()?.iter().map(|head| folded(head)).eq(HEADINGS) {
            return None;
        }
    } else {
        lines.push(HEADINGS.map(str::to_owned));
    }
    for cell in cells {
        let [file, column, read, correct] =
            [&cell.file, &cell.column, &cell.read, &cell.correct].map(|text| written(text));
        let row = cell.row.to_string();
        match lines
            .iter_mut()
            .find(|line| line[0] == file && line[1] == row && same_heading(&line[2], &column))
        {
            // What the file itself holds was said when the cell was first corrected.
            Some(line) => line[4] = correct,
            None => lines.push([file, row, column, read, correct]),
        }
    }
    let mut writer = csv::Writer::from_writer(Vec::new());
    for line in &lines {
        writer.write_record(line).ok()?;
    }
    String::from_utf8(writer.into_inner().ok()?).ok()
}

/// Letters of a row that is left out which are told.
const SHOWN: usize = 120;

/// Signs with which a spreadsheet takes a text for a formula.
const FORMULA: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

/// A text as it is written: no spreadsheet takes it for a formula.
fn written(text: &str) -> String {
    if text.starts_with(FORMULA) { format!("'{text}") } else { text.to_owned() }
}

/// A text as it was before it was written so.
fn unwritten(text: &str) -> &str {
    text.strip_prefix('\'').filter(|rest| rest.starts_with(FORMULA)).unwrap_or(text)
}

/// Puts what is correct into the cells of a part of a table, and gives the rows that are to be left out of it. What it did, and what no
/// longer fits, is said of each; of a row that is left out, what it `holds`, in words behind a sentence.
pub(crate) fn correct(
    corrections: &[(u32, CellCorrection)],
    part: &Part,
    grid: &mut Grid,
    holds: impl Fn(&[Heading], &Record) -> String,
    problems: &mut Vec<Problem>,
) -> Vec<u32> {
    let mut out = Vec::new();
    let of_part = || corrections.iter().filter(|(_, one)| is_of(&one.file, &part.path));
    // A row is told by what the file itself holds.
    for (line, one) in of_part().filter(|(_, one)| one.column == WHOLE_ROW) {
        match grid.rows.iter().find(|row| row.row == one.row) {
            None => problems.push(misses(*line, one, None)),
            Some(row) => {
                let found = whole_row(row.cells.iter().map(|cell| cell.as_str()));
                if folded(&found) != folded(&one.read) {
                    problems.push(misses(*line, one, Some(found)));
                    continue;
                }
                let place = Place { column: None, ..part.place(grid, row, 0) };
                let holds = holds(&grid.headings, row);
                let row = found.chars().take(SHOWN).collect();
                problems.push(Problem::new(Reading::RowTakenOut { row, holds }, place));
                out.push(one.row);
            }
        }
    }
    for (line, one) in of_part().filter(|(_, one)| one.column != WHOLE_ROW) {
        let at = grid.headings.iter().position(|heading| same_heading(&heading.text, &one.column));
        let row = grid.rows.iter().position(|row| row.row == one.row);
        let found = at.zip(row).map(|(at, row)| grid.rows[row].cell(at).to_owned());
        let (Some((at, row)), Some(found)) = (at.zip(row), found) else {
            problems.push(misses(*line, one, None));
            continue;
        };
        if folded(&found) != folded(&one.read) {
            problems.push(misses(*line, one, Some(found)));
            continue;
        }
        let kind = Reading::CellCorrected { read: one.read.clone(), correct: one.correct.clone() };
        problems.push(Problem::new(kind, part.place(grid, &grid.rows[row], at)));
        let row = &mut grid.rows[row];
        row.widen(at + 1);
        row.cells[at] = one.correct.as_str().into();
    }
    out
}

/// Takes the rows that are to be left out of a part, with what was said of them since the first `said` problems.
pub(crate) fn leave_out(out: &[u32], part: &Part, grid: &mut Grid, said: usize, problems: &mut Vec<Problem>) {
    if out.is_empty() {
        return;
    }
    grid.rows.retain(|row| !out.contains(&row.row));
    let of_rest = |problem: &Problem| {
        problem.place.path != part.path || problem.place.row.is_none_or(|row| !out.contains(&row))
    };
    let rest: Vec<Problem> = problems.split_off(said).into_iter().filter(of_rest).collect();
    problems.extend(rest);
}

/// The corrections of files that no table is read from.
pub(crate) fn unmet<'a>(
    corrections: &'a [(u32, CellCorrection)],
    paths: &'a [Arc<str>],
) -> impl Iterator<Item = Problem> + 'a {
    let met = |one: &CellCorrection| paths.iter().any(|path| is_of(&one.file, path));
    corrections.iter().filter(move |(_, one)| !met(one)).map(|(line, one)| misses(*line, one, None))
}

/// The correction of a cell that is not there, or holds something else by now.
fn misses(line: u32, one: &CellCorrection, holds: Option<String>) -> Problem {
    let kind = Reading::CorrectionMisses { cell: one.place(), read: one.read.clone(), holds };
    Problem::new(kind, Place { row: Some(line), ..Place::file(CORRECTIONS) })
}

/// Whether `file` is the part at `path`: a workbook of one sheet is called without it.
fn is_of(file: &str, path: &str) -> bool {
    let book =
        |path: &str| path.rsplit_once('[').filter(|_| path.ends_with(']')).map(|(book, _)| book.to_owned());
    file == path || book(path).as_deref() == Some(file) || book(file).as_deref() == Some(path)
}
