//! `spending`: money out.

use crate::{
    intake::{records::Known, table::Table},
    problem::Problem,
    project::Spending,
};

/// Every payment.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<Spending> {
    table.doubt_repeats(problems);
    table.each(problems, |row| {
        let date = row.day("date");
        let (amount, tax) = (row.money("amount", &known.currency), row.money("tax", &known.currency));
        let in_kind = row.yes("in_kind");
        Some(Spending {
            date: date?,
            line: row.text("line")?,
            amount: amount?,
            tax: tax.unwrap_or_default(),
            payee: row.text("payee"),
            receipt: row.text("receipt"),
            in_kind: in_kind.unwrap_or(false),
            note: row.text("note"),
            source: row.source(),
        })
    })
}
