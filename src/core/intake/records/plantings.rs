//! `plantings`: what was planted.

use crate::{
    intake::{ids::Ids, records::Known, table::Table},
    problem::{Problem, Records},
    project::{Planting, Stock},
    units::Stems,
};

/// Every planting; `batches` are those that an infill can replace.
pub(crate) fn read(
    table: &Table,
    known: &Known,
    batches: &Ids,
    problems: &mut Vec<Problem>,
) -> Vec<Planting> {
    let plants = table.mapping.plants;
    if !plants {
        table.doubt_repeats(problems);
    }
    table.each(problems, |row| {
        let (date, area) = (row.day("date"), row.area("area", known));
        let species = row.species("species", known);
        let stems = if plants { Some(Stems(1)) } else { row.stems("stems") };
        let replaces = row.raw("replaces").and_then(|found| {
            let batch = batches.get(found);
            if batch.is_none() {
                let nearest = batches.nearest(found);
                row.say("replaces", Records::ReplacesNothing { batch: found.to_owned(), nearest });
            }
            batch.map(|batch| batch.to_string())
        });
        let claims = row.claims(known);
        let stock = row.word("stock", &Stock::ALL, Stock::words);
        Some(Planting {
            date: date?,
            area: area?,
            species: species?,
            stems: stems?,
            stock,
            provenance: row.text("provenance"),
            supplier: row.text("supplier"),
            row: row.text("row"),
            batch: row.text("batch"),
            guard: row.text("guard"),
            replaces,
            note: row.text("note"),
            claims,
            source: row.source(),
        })
    })
}
