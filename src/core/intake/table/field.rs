//! A sheet of the field book: of its rows those that somebody has filled in.

use crate::{
    intake::table::{Layout, Record, key},
    project::{LAST_TIME, given_in_field},
};

/// The headings and the rows of a field sheet in which more stands than what was given. A row without a day is of the day above it.
/// `None` where nothing is filled in, or where the headings are not there.
pub(super) fn filled(layout: &Layout, records: Vec<Record>) -> Option<Vec<Record>> {
    let given = given_in_field(layout.table)?;
    let headed = |record: &Record| {
        let has = |name: &&str| record.cells.iter().any(|cell| key(cell) == *name);
        layout.required.iter().all(has) && given.iter().all(has)
    };
    let head = records.iter().position(headed)?;
    let mut rows = records.into_iter().skip(head);
    let mut heads = rows.next()?;
    let at = |name: &str| heads.cells.iter().position(|cell| key(cell) == key(name));
    let (last, day) = (at(LAST_TIME), at("date"));
    let known: Vec<usize> = given.iter().filter_map(|name| at(name)).chain(last).collect();
    let is_filled = |row: &Record| {
        (0..row.cells.len()).any(|at| !known.contains(&at) && Some(at) != day && !row.cell(at).is_empty())
    };
    let (mut filled, mut today) = (Vec::new(), ecow::EcoString::new());
    for mut row in rows {
        if let Some(day) = day {
            if !row.cell(day).is_empty() {
                today = row.cell(day).into();
            }
            if is_filled(&row) && row.cell(day).is_empty() {
                row.widen(day + 1);
                row.cells[day] = today.clone();
            }
        }
        if is_filled(&row) {
            filled.push(row);
        }
    }
    // What was found the last time is for reading.
    for row in filled.iter_mut().chain([&mut heads]) {
        if let Some(last) = last.filter(|last| *last < row.cells.len()) {
            row.cells.remove(last);
        }
    }
    (!filled.is_empty()).then(|| [heads].into_iter().chain(filled).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::{records::LAYOUTS, table::grid::tests::grid};

    #[test]
    fn only_what_was_filled_in_is_taken() {
        let layout = LAYOUTS.iter().find(|layout| layout.table == "tallies").unwrap();
        let sheet = grid(
            "a,b\nTally,\nplot,species,last time,date,alive,dead\nN1,A,8 alive,2026-05-01,7,1\nN1,B,2 alive,,3,\nN2,A,9 alive,,,\nN2,B,,2026-05-02,,\nN3,A,,,4,0",
        );
        let rows: Vec<String> = filled(layout, sheet.rows)
            .unwrap()
            .iter()
            .map(|row| row.cells.iter().map(|cell| cell.as_str()).collect::<Vec<_>>().join(","))
            .collect();
        assert_eq!(
            rows,
            [
                "plot,species,date,alive,dead",
                "N1,A,2026-05-01,7,1",
                "N1,B,2026-05-01,3,",
                "N3,A,2026-05-02,4,0"
            ]
        );
        let unused = grid("a\nplot,species,last time,date,alive\nN1,A,8 alive,,");
        assert!(filled(layout, unused.rows).is_none());
    }
}
