//! `tallies`: what was counted in the plots.

use crate::{
    intake::{records::Known, table::Table},
    problem::Problem,
    project::Tally,
};

/// Every tally.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<Tally> {
    table.doubt_repeats(problems);
    table.each(problems, |row| {
        let (date, plot) = (row.day("date"), row.plot("plot", known));
        let (species, alive) = (row.species("species", known), row.stems("alive"));
        let (dead, missing, recruits) = (row.stems("dead"), row.stems("missing"), row.stems("recruits"));
        let cohort = row.year("cohort");
        Some(Tally {
            date: date?,
            plot: plot?,
            species: species?,
            alive: alive?,
            dead,
            missing,
            recruits,
            cohort,
            note: row.text("note"),
            source: row.source(),
        })
    })
}
