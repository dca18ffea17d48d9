//! What only a spreadsheet can do to a table: hide rows, join cells, leave a formula uncomputed, count days.

use crate::{
    intake::{
        cell::date,
        table::{Record, Table, workbook::Sheet},
    },
    problem::{Problem, Reading},
};

/// Says what the sheet holds that a reader of it would not see, or that can't be read as it looks.
pub(super) fn doubt(table: &mut Table, sheet: &Sheet, problems: &mut Vec<Problem>) {
    let is_hidden = |row: u32| sheet.hidden_rows.binary_search(&row).is_ok();
    let hidden: Vec<_> = table.rows.iter().filter(|row| is_hidden(row.row)).collect();
    if let Some(first) = hidden.first() {
        let mut place = table.place(first, 0);
        (place.column, place.excerpt) = (None, None);
        problems.push(Problem::new(Reading::HiddenRows { rows: hidden.len() }, place));
    }
    let used: Vec<usize> = table.used().collect();
    let from = |row: u32| table.rows.get(table.rows.partition_point(|record| record.row < row));
    for merge in &sheet.merges {
        // Over several rows of the table, a joined cell holds a value for the first of them alone.
        let row = from(merge.top).filter(|row| row.row <= merge.bottom);
        let over_rows = merge.top < merge.bottom && merge.top > table.header;
        if let Some(row) = row.filter(|_| over_rows && used.contains(&merge.left)) {
            let kind = Reading::MergedCells { first: merge.top, last: merge.bottom };
            problems.push(Problem::new(kind, table.place(row, merge.left)));
        }
    }
    let mut excused = Vec::new();
    for (row, at, formula) in &sheet.uncomputed {
        if let Some(row) = from(*row).filter(|record| record.row == *row && used.contains(at)) {
            let kind = Reading::NotComputed { formula: formula.chars().take(60).collect() };
            problems.push(Problem::new(kind, table.place(row, *at)));
            excused.push((row.row, *at));
        }
    }
    excused.sort_unstable();
    table.excused = excused;
}

/// Columns that hold days, in whatever table.
const DAYS: [&str; 4] = ["date", "due", "from", "to"];

/// Writes out the days that stand as a spreadsheet's number for them, and says so once for each column.
pub(super) fn count_days(table: &mut Table, from_1904: bool, problems: &mut Vec<Problem>) {
    for (at, _) in DAYS.into_iter().filter_map(|column| table.position(column)).collect::<Vec<_>>() {
        let counted = |row: &Record| date::counted(row.cell(at), from_1904);
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
