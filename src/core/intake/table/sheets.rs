//! What only a spreadsheet can do to a table: hide rows, join cells, leave a formula uncomputed, count days.

use crate::{
    intake::{
        cell::date,
        table::{Record, Table, grid::Grid, part::Part, workbook::Sheet},
    },
    problem::{Change, Place, Problem, Reading, SecondReading},
    source::Row,
};

/// Says what the sheet holds that a reader of it would not see, or that can't be read as it looks; `used` are the places of the
/// columns that are read, `filled` of those that repeat the cell above. Gives the rows in which a formula was never computed.
pub(super) fn doubt(
    table: &'static str,
    part: &Part,
    grid: &Grid,
    sheet: &Sheet,
    (used, filled): (&[usize], &[usize]),
    problems: &mut Vec<Problem>,
) -> Vec<u32> {
    let is_hidden = |row: u32| sheet.hidden_rows.binary_search(&row).is_ok();
    let hidden: Vec<_> = grid.rows.iter().filter(|row| is_hidden(row.row)).collect();
    if let Some(first) = hidden.first() {
        let mut place = part.place(grid, first, 0);
        (place.column, place.excerpt) = (None, None);
        problems.push(Problem::new(Reading::HiddenRows { rows: hidden.len() }, place));
    }
    let is_struck = |row: u32| sheet.struck_rows.binary_search(&row).is_ok();
    let struck: Vec<Row> = grid
        .rows
        .iter()
        .filter(|row| is_struck(row.row))
        .map(|row| Row { file: std::sync::Arc::clone(&part.path), row: row.row })
        .collect();
    if let Some((first, others)) = struck.split_first() {
        let place = Place { column: None, ..Place::row(first) };
        let others = others.iter().map(|row| row.row).collect();
        let kind = Reading::RowsStruckOut { rows: struck.len(), others };
        problems.push(Problem::new(kind, place).or(SecondReading::of(Change::LeftOut, &struck)));
    }
    let from = |row: u32| grid.rows.get(grid.rows.partition_point(|record| record.row < row));
    for merge in &sheet.merges {
        // Over several rows of the table, a joined cell holds a value for the first of them alone.
        let row = from(merge.top).filter(|row| row.row <= merge.bottom);
        let over_rows = merge.top < merge.bottom && merge.top > part.header;
        let blank = used.contains(&merge.left) && !filled.contains(&merge.left);
        if let Some(row) = row.filter(|_| over_rows && blank) {
            let heading =
                grid.headings.get(merge.left).map(|heading| heading.text.clone()).unwrap_or_default();
            let kind = Reading::MergedCells { table, first: merge.top, last: merge.bottom, heading };
            problems.push(Problem::new(kind, part.place(grid, row, merge.left)));
        }
    }
    let mut excused = Vec::new();
    for (row, at, formula) in &sheet.uncomputed {
        if let Some(row) = from(*row).filter(|record| record.row == *row && used.contains(at)) {
            let kind = Reading::NotComputed { formula: formula.chars().take(60).collect() };
            problems.push(Problem::new(kind, part.place(grid, row, *at)));
            excused.push(row.row);
        }
    }
    excused
}

/// Columns that hold days, in whatever table.
const DAYS: [&str; 4] = ["date", "due", "from", "to"];

/// Writes out the days that stand as a spreadsheet's number for them, and says so once for each column.
pub(super) fn count_days(table: &mut Table, problems: &mut Vec<Problem>) {
    for (at, _) in DAYS.into_iter().filter_map(|column| table.position(column)).collect::<Vec<_>>() {
        let from_1904: Vec<bool> = table.parts.iter().map(|part| part.from_1904).collect();
        let counted = |row: &Record| {
            date::counted(row.cell(at), from_1904.get(usize::from(row.part)).copied().unwrap_or_default())
        };
        let mut found = table.rows.iter().filter_map(|row| Some((row, counted(row)?)));
        let Some((first, day)) = found.next() else { continue };
        let (typed, read_as) = (first.cell(at).to_owned(), crate::units::day(day));
        let kind = Reading::DaysCounted { found: typed, read_as, cells: 1 + found.count() };
        problems.push(Problem::new(kind, table.place(first, at)));
        for row in &mut table.rows {
            if let Some(day) = counted(row) {
                row.cells[at] = ecow::eco_format!("{day}");
            }
        }
    }
}
