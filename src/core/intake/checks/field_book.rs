//! Rows of a field book that stand in a table of the folder too: copied by hand, and left in the book.

use std::collections::BTreeMap;

use crate::{
    intake::{checks::say_of, choice::is_in_field_book},
    problem::{Change, Problem, Records, SecondReading},
    project::Project,
    source::Row,
};

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let tallies = project.tallies.iter().map(|row| {
        let counts = [Some(row.alive), row.dead, row.missing, row.recruits];
        (format!("{:?}", (row.date, &row.plot, &row.species, row.cohort, counts)), &row.source)
    });
    again(tallies, problems);
    let cover = project.cover.iter().map(|row| {
        (format!("{:?}", (row.date, &row.plot, row.layer, &row.cover, &row.measure)), &row.source)
    });
    again(cover, problems);
    let plantings = project
        .plantings
        .iter()
        .map(|row| (format!("{:?}", (row.date, &row.area, &row.species, row.stems)), &row.source));
    again(plantings, problems);
}

/// Says which rows of field books say what a row elsewhere does.
fn again<'a>(rows: impl Iterator<Item = (String, &'a Row)> + Clone, problems: &mut Vec<Problem>) {
    let in_book = |row: &Row| is_in_field_book(&row.file);
    if !rows.clone().any(|(_, row)| in_book(row)) {
        return;
    }
    let mut elsewhere: BTreeMap<String, &Row> = BTreeMap::new();
    for (says, row) in rows.clone().filter(|(_, row)| !in_book(row)) {
        elsewhere.entry(says).or_insert(row);
    }
    for (says, row) in rows.filter(|(_, row)| in_book(row)) {
        let Some(first) = elsewhere.get(&says) else { continue };
        let kind = Records::RowTwice { first: format!("{} of {}", first.row, first.file) };
        say_of(kind, [row], "", Some(&SecondReading::of(Change::LeftOut, [row])), problems);
    }
}
