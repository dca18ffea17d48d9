//! `actions`: what went wrong or was changed, and what was done about it.

use crate::{
    intake::{records::Known, table::Table},
    problem::{Problem, Settings},
    project::{Action, Occasion},
};

/// Everything in the table, by day; `targets` are those whose triggers may be meant.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<Action> {
    table.doubt_repeats(problems);
    let mut actions = table.each(problems, |row| {
        let (date, notified, done) = (row.day("date"), row.day("notified"), row.day("done"));
        let occasion = row.word("occasion", &Occasion::ALL, Occasion::words);
        let area = row.area_or_site("area", known);
        let claims = row.claims(known);
        let target = row.target("target", known);
        if let Some((from, to)) = date.zip(done).filter(|(date, done)| done < date) {
            row.say("done", Settings::PeriodBackwards { from: from.to_string(), to: to.to_string() });
        }
        Some(Action {
            date: date?,
            occasion: occasion?,
            what: row.text("what")?,
            area,
            target,
            notified,
            cause: row.text("cause"),
            consequence: row.text("consequence"),
            response: row.text("response"),
            done,
            effect: row.text("effect"),
            claims,
            source: row.source(),
        })
    });
    actions.sort_by_key(|action| action.date);
    actions
}
