//! One batch of seedlings of which two agreements claim stems.

use std::collections::BTreeMap;

use crate::{
    intake::{
        checks::funding::place,
        nearest::folded,
        suppliers::{receipt_number, supplier},
    },
    problem::{Funding, Place, Problem},
    project::{Payer, Planting, Project},
    sharing::Shares,
    units::{day, whole},
};

pub(super) fn check(project: &Project, shares: &Shares, problems: &mut Vec<Problem>) {
    let mut batches: BTreeMap<_, Vec<(&Planting, &Payer)>> = BTreeMap::new();
    for (row, of) in project.plantings.iter().zip(&shares.plantings) {
        let batch = row.batch.as_deref().map(batch_number).filter(|batch| !batch.is_empty());
        if let (Some(batch), owner @ Payer::Agreement(_)) = (batch, of.owner()) {
            batches.entry((batch, &row.species)).or_default().push((row, owner));
        }
    }
    for rows in batches.into_values() {
        let again = rows.iter().enumerate().find_map(|(at, (later, payer))| {
            let of_another = |(earlier, other): &&(&Planting, &Payer)| {
                other != payer && one_supplier(earlier, later) && !is_one_planting(earlier, later)
            };
            let (earlier, other) = rows[..at].iter().find(of_another)?;
            Some((*earlier, *other, *later, *payer))
        });
        let Some((earlier, other, later, payer)) = again else { continue };
        let stems = |row: &Planting, payer: &Payer| {
            format!(
                "{} stems on {} of {} under {}",
                whole(row.stems.0),
                row.area,
                day(row.date),
                payer.code()
            )
        };
        let kind = Funding::BatchClaimedTwice {
            batch: later.batch.as_deref().unwrap_or_default().trim().to_owned(),
            species: later.species.to_string(),
            by: format!(
                "{} here and {} in {}",
                stems(later, payer),
                stems(earlier, other),
                place(&earlier.source)
            ),
            together: whole(rows.iter().map(|(row, _)| row.stems.0).sum::<u64>()),
        };
        problems.push(Problem::new(kind, Place::row(&later.source).column("batch")));
    }
}

/// A batch as batches are compared: `LR25 1`, `LR25-01` and `lr25-1` are one.
pub(super) fn batch_number(batch: &str) -> String {
    receipt_number(batch).unwrap_or_else(|| folded(batch))
}

/// Whether both may have come from one supplier: two nurseries may count alike.
fn one_supplier(one: &Planting, other: &Planting) -> bool {
    let named = |row: &Planting| row.supplier.as_deref().map(supplier);
    named(one).zip(named(other)).is_none_or(|(one, other)| one == other)
}

/// Whether the two are one planting written twice, which is said elsewhere.
fn is_one_planting(one: &Planting, other: &Planting) -> bool {
    one.date == other.date && one.area == other.area && one.stems == other.stems
}
