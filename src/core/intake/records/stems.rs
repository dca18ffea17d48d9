//! `stems`: measured stems.

use crate::{
    intake::{records::Known, table::Table},
    problem::Problem,
    project::{DiameterAt, Stem, StemStatus},
};

/// Taller than any tree that stands, m; the doubts about sizes begin well below.
const TALLEST: f64 = 130.0;

/// Thicker than any stem that stands, mm.
const THICKEST: f64 = 20_000.0;

/// Every measured stem. Two stems without a tag may well be alike, so repeated rows are not doubted.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<Stem> {
    table.each(problems, |row| {
        let (date, plot, species) = (row.day("date"), row.plot("plot", known), row.species("species", known));
        let (height, diameter_mm) = (row.metres("height_m", TALLEST), row.length("diameter_mm", THICKEST));
        let diameter_at = row.word("diameter_at", &DiameterAt::ALL, DiameterAt::word);
        let stem = row.whole("stem", (1, 1000), "the number of the stem, from 1");
        let status = row.word("status", &StemStatus::ALL, StemStatus::word);
        Some(Stem {
            date: date?,
            plot: plot?,
            species: species?,
            tag: row.text("tag"),
            height,
            diameter_mm,
            diameter_at,
            stem,
            status: status.unwrap_or_default(),
            note: row.text("note"),
            source: row.source(),
        })
    })
}
