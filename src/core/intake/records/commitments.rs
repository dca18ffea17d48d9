//! `commitments`: conditions of the approval and commitments of the management plan.

use crate::{
    intake::{records::Known, table::Table},
    problem::{Problem, Reading},
    project::{Commitment, Compliance},
};

/// Every commitment; `targets` are those that may decide one.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<Commitment> {
    table.doubt_repeats(problems);
    table.each(problems, |row| {
        let due = row.day("due");
        let status = row.word("status", &Compliance::ALL, Compliance::words);
        let claims = row.claims(known);
        let target = row.target("target", known);
        if row.raw("status").is_none() && row.raw("target").is_none() {
            row.say(
                "status",
                Reading::CellEmpty { table: "", column: "status or target".to_owned(), above: None },
            );
        }
        Some(Commitment {
            number: row.text("number")?,
            words: row.text("words")?,
            clause: row.text("clause"),
            due,
            status,
            target,
            evidence: row.text("evidence"),
            comment: row.text("comment"),
            responsible: row.text("responsible"),
            claims,
            source: row.source(),
        })
    })
}
