//! `stems`: measured stems.

use crate::{
    intake::{
        records::{Known, status},
        table::{Table, key},
    },
    problem::{Change, Measured, Place, Plausibility, Problem, SecondReading},
    project::{DiameterAt, Stem, StemStatus},
};

/// Taller than any tree that stands, m; the doubts about sizes begin well below.
const TALLEST: f64 = 130.0;

/// Thicker than any stem that stands, mm.
const THICKEST: f64 = 20_000.0;

/// Words of a heading under which stems were measured round and not across.
const ROUND: [&str; 6] = ["girth", "gbh", "cbh", "circumference", "circ", "perimeter"];

/// Every measured stem. Two stems without a tag may well be alike, so repeated rows are not doubted.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<Stem> {
    status::ask(table, problems);
    let stems = table.each(problems, |row| {
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
    });
    doubt_girths(table, &stems, problems);
    stems
}

/// Says that a column of diameters is headed as one of girths.
fn doubt_girths(table: &Table, stems: &[Stem], problems: &mut Vec<Problem>) {
    let heading = table.position("diameter_mm").and_then(|(at, _)| table.headings().nth(at));
    let Some(heading) = heading.filter(|heading| key(heading).split('_').any(|word| ROUND.contains(&word)))
    else {
        return;
    };
    let rows = stems.iter().filter(|stem| stem.diameter_mm.is_some()).map(|stem| &stem.source);
    let change = Change::Times { of: Measured::Diameter, factor: std::f64::consts::FRAC_1_PI };
    let place = Place::file(table.path.clone()).column(heading);
    let kind = Plausibility::GirthAsDiameter { heading: heading.to_owned() };
    problems.push(Problem::new(kind, place).or(SecondReading::of(change, rows)));
}
