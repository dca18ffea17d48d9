//! Plants of whose status nothing is written, in a table that has one for others: whether they were alive is asked once for all of them.

use crate::{
    intake::table::{Record, Table},
    problem::{Problem, Records},
};

/// Columns of which a filled cell tells that the plant stood.
const MEASURED: [&str; 2] = ["height_m", "diameter_mm"];

/// Asks what an empty status means, where others are filled and nothing else tells that the plant stood. Gives whether it was asked.
pub(super) fn ask(table: &Table, problems: &mut Vec<Problem>) -> bool {
    let Some((at, _)) = table.position("status") else { return false };
    let measured: Vec<usize> =
        MEASURED.iter().filter_map(|column| table.position(column).map(|(at, _)| at)).collect();
    let is_open =
        |row: &&Record| row.cell(at).is_empty() && measured.iter().all(|at| row.cell(*at).is_empty());
    let answered = table.mapping.blank.keys().any(|name| table.place_of(name) == Some(at));
    let empty: Vec<&Record> = table.rows().iter().filter(is_open).collect();
    let filled = table.rows().iter().any(|row| !row.cell(at).is_empty());
    let Some(first) = empty.first().filter(|_| filled && !answered) else { return false };
    let column = table.headings().nth(at).unwrap_or_default().to_owned();
    let kind = Records::StatusEmpty {
        table: table.layout.table,
        column,
        cells: empty.len(),
        rows: table.rows().len(),
        alone: table.rows().iter().filter(|row| row.cell(at).is_empty()).count() == empty.len(),
    };
    problems.push(Problem::new(kind, table.place(first, at)));
    true
}
