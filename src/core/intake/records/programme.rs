//! `programme`: work planned for the year to come.

use crate::{
    intake::{records::Known, table::Table},
    problem::{Problem, Settings},
    project::PlannedWork,
};

/// Everything that is planned, by day.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<PlannedWork> {
    table.doubt_repeats(problems);
    let mut planned = table.each(problems, |row| {
        let area = row.area_or_site("area", known);
        let (from, to) = (row.day("from"), row.day("to"));
        if let Some((from, to)) = from.zip(to).filter(|(from, to)| from > to) {
            row.say("to", Settings::PeriodBackwards { from: from.to_string(), to: to.to_string() });
        }
        let claims = row.claims(known);
        let quantity = row.number("quantity", (0.0, 1e9), "a quantity, 0 or more");
        Some(PlannedWork {
            from: from?,
            to,
            task: row.text("task")?,
            area,
            quantity,
            unit: row.text("unit"),
            who: row.text("who"),
            note: row.text("note"),
            claims,
            source: row.source(),
        })
    });
    planned.sort_by_key(|work| (work.from, work.to));
    planned
}
