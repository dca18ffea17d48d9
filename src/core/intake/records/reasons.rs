//! `reasons`: why a line of the budget or a target came out as it did.

use crate::{
    intake::{
        nearest::{nearest, same},
        records::Known,
        table::Table,
    },
    problem::{Problem, Reading, Records},
    project::Reason,
};

/// Every reason; `lines` are those of the budget and the spending.
pub(crate) fn read(
    table: &Table,
    known: &Known,
    lines: &[String],
    problems: &mut Vec<Problem>,
) -> Vec<Reason> {
    table.doubt_repeats(problems);
    table.each(problems, |row| {
        if row.raw("line").is_none() && row.raw("target").is_none() {
            row.say(
                "line",
                Reading::CellEmpty { table: "", column: "line or target".to_owned(), above: None },
            );
        }
        let target = row.target("target", known);
        let line = row.text("line").and_then(|found| {
            let line = lines.iter().find(|line| same(line, &found)).cloned();
            if line.is_none() {
                let nearest = nearest(&found, lines.iter().map(String::as_str));
                row.say("line", Records::IdUnknown { what: "budget line", found, nearest });
            }
            line
        });
        let claims = row.claims(known);
        Some(Reason { line, target, words: row.text("words")?, claims, source: row.source() })
    })
}
