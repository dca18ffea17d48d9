//! `works`: hours and quantities of work.

use crate::{
    intake::{records::Known, table::Table},
    problem::Problem,
    project::{Basis, Work},
    units::Hours,
};

/// Everything that was done.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<Work> {
    table.doubt_repeats(problems);
    table.each(problems, |row| {
        let area = row.area_or_site("area", known);
        let date = row.day("date");
        let hours = row.number("hours", (0.0, 10_000.0), "each person's hours, from 0 to 10,000").map(Hours);
        let people = row.whole("people", (1, 10_000), "how many people worked, from 1 to 10,000");
        let basis = row.word("basis", &Basis::ALL, Basis::words);
        let quantity = row.number("quantity", (0.0, 1e9), "a quantity, 0 or more");
        Some(Work {
            date: date?,
            task: row.text("task")?,
            area,
            hours,
            people: people.unwrap_or(1),
            basis: basis.unwrap_or_default(),
            quantity,
            unit: row.text("unit"),
            note: row.text("note"),
            source: row.source(),
        })
    })
}
