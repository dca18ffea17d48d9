//! Rows that the reporting period does not hold: one line a table.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use crate::{
    intake::checks::say_of,
    problem::{Kind, Problem, Records},
    project::Project,
    source::Row,
    units::{number, span, whole},
};

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let period = project.period;
    // Days that are likely changed over have had their word.
    let swapped: BTreeSet<Row> = Problem::swapped_rows(problems);
    let late = |date: NaiveDate| date > period.to;
    // Agreements count what was spent and worked over all their years.
    let in_term = |date: NaiveDate| project.agreements.iter().any(|agreement| agreement.term.holds(date));
    let outside = |date: NaiveDate| !period.holds(date) && !in_term(date);

    let plantings = dated(project.plantings.iter().map(|row| (row.date, &row.source)), late, &swapped);
    let stems =
        project.plantings.iter().filter(|row| plantings.holds(&row.source)).map(|row| row.stems.0).sum();
    plantings.say(problems, |rows, of, when| {
        Records::PlantedAfterPeriod { rows, of, when, held: format!("{} stems", whole(stems)) }.into()
    });

    let works = dated(project.works.iter().map(|row| (row.date, &row.source)), outside, &swapped);
    let hours: f64 =
        project.works.iter().filter(|row| works.holds(&row.source)).map(|row| row.person_hours().0).sum();
    works.say(problems, |rows, of, when| {
        let held = format!("{} person hours", number(hours, 1));
        Records::OutsidePeriod { rows, of, what: "works", when, held }.into()
    });

    let spending = dated(project.spending.iter().map(|row| (row.date, &row.source)), outside, &swapped);
    let paid: Decimal =
        project.spending.iter().filter(|row| spending.holds(&row.source)).map(|row| row.amount.0).sum();
    spending.say(problems, |rows, of, when| {
        let held = format!("{} {paid:.2}", project.identity.currency);
        Records::OutsidePeriod { rows, of, what: "spending", when, held }.into()
    });

    let seen = dated(project.sightings.iter().map(|row| (row.date, &row.source)), late, &swapped);
    let after = [
        ("tallies", dated(project.tallies.iter().map(|row| (row.date, &row.source)), late, &swapped)),
        ("stems", dated(project.stems.iter().map(|row| (row.date, &row.source)), late, &swapped)),
        ("cover", dated(project.cover.iter().map(|row| (row.date, &row.source)), late, &swapped)),
        ("sightings", seen),
    ];
    for (what, found) in after {
        found.say(problems, |rows, of, when| Records::AfterPeriod { rows, of, what, when }.into());
    }
}

/// Rows of a table that are dated as asked.
struct Dated<'a> {
    rows: Vec<(NaiveDate, &'a Row)>,
    found: BTreeSet<&'a Row>,
    of: usize,
}

fn dated<'a>(
    rows: impl Iterator<Item = (NaiveDate, &'a Row)>,
    asked: impl Fn(NaiveDate) -> bool,
    swapped: &BTreeSet<Row>,
) -> Dated<'a> {
    let mut of = 0;
    let rows: Vec<_> =
        rows.inspect(|_| of += 1).filter(|(date, row)| asked(*date) && !swapped.contains(*row)).collect();
    Dated { found: rows.iter().map(|(_, row)| *row).collect(), rows, of }
}

impl Dated<'_> {
    fn holds(&self, row: &Row) -> bool {
        self.found.contains(row)
    }

    /// Says `kind` of the rows, with how many there are of how many and when.
    fn say(&self, problems: &mut Vec<Problem>, kind: impl FnOnce(usize, usize, String) -> Kind) {
        let dates = || self.rows.iter().map(|(date, _)| *date);
        let (Some(first), Some(last)) = (dates().min(), dates().max()) else { return };
        let kind = kind(self.rows.len(), self.of, span(first, last));
        say_of(kind, self.rows.iter().map(|(_, row)| *row), "date", None, problems);
    }
}
