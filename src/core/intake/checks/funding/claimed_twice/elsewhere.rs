//! One crew, one fence, one tray of seedlings on the grounds of two agreements: what is alike in all but the ground.

use crate::{
    intake::{
        checks::funding::{claimed_twice::agreements, payers, place},
        nearest::folded,
        suppliers::supplier,
    },
    problem::{Funding, Place, Problem},
    project::{AreaId, Payer, Planting, Project, Work},
    sharing::{RowShares, Shares},
    units::{day, number, whole},
};

/// A row of a table with those who bear it.
type Borne<'a, Of> = (&'a Of, &'a RowShares);

pub(super) fn check(project: &Project, shares: &Shares, problems: &mut Vec<Problem>) {
    let works: Vec<Borne<'_, Work>> = project.works.iter().zip(&shares.works).collect();
    for (first, later) in again(&works, one_crew) {
        let hours = later.0.hours.unwrap_or_default().0;
        let kind = Funding::CrewInTwoPlaces {
            people: later.0.people,
            hours: number(hours, 1),
            task: folded(&later.0.task),
            day: day(later.0.date),
            by: on_two((&later.0.area, later.1), (&first.0.area, first.1), &place(&first.0.source)),
        };
        problems.push(Problem::new(kind, Place::row(&later.0.source).column("hours")));
    }
    for (first, later) in again(&works, one_quantity) {
        let unit = folded(later.0.unit.as_deref().unwrap_or_default());
        let kind = Funding::QuantityElsewhere {
            quantity: format!("{} {unit}", number(later.0.quantity.unwrap_or_default(), 1)),
            task: folded(&later.0.task),
            by: on_two((&later.0.area, later.1), (&first.0.area, first.1), &place(&first.0.source)),
        };
        problems.push(Problem::new(kind, Place::row(&later.0.source).column("quantity")));
    }
    let plantings: Vec<Borne<'_, Planting>> = project.plantings.iter().zip(&shares.plantings).collect();
    for (first, later) in again(&plantings, one_tray) {
        let (here, there) = (Some(later.0.area.clone()), Some(first.0.area.clone()));
        let kind = Funding::StemsElsewhere {
            stems: whole(later.0.stems.0),
            species: later.0.species.to_string(),
            day: day(later.0.date),
            by: on_two((&here, later.1), (&there, first.1), &place(&first.0.source)),
        };
        problems.push(Problem::new(kind, Place::row(&later.0.source).column("stems")));
    }
}

/// Each later row that may be an earlier one of another payer again, with that one.
fn again<'a, Of>(
    rows: &[Borne<'a, Of>],
    may_be: fn(&Of, &Of) -> bool,
) -> Vec<(Borne<'a, Of>, Borne<'a, Of>)> {
    let of_others = |one: &RowShares, other: &RowShares| {
        let (one, other) = (agreements(one), agreements(other));
        !one.is_empty() && !other.is_empty() && one.is_disjoint(&other)
    };
    let again = rows.iter().enumerate().filter_map(|(at, later)| {
        let is_first = |first: &&Borne<'a, Of>| may_be(first.0, later.0) && of_others(first.1, later.1);
        Some((*rows[..at].iter().find(is_first)?, *later))
    });
    again.collect()
}

fn one_crew(one: &Work, other: &Work) -> bool {
    one.date == other.date
        && one.people == other.people
        && one.people > 1
        && one.hours == other.hours
        && one.hours.is_some_and(|hours| hours.0 > 0.0)
        && folded(&one.task) == folded(&other.task)
        && apart(one.area.as_ref(), other.area.as_ref())
}

/// Two lengths or sizes that are alike to a digit no round number has, or of one day.
fn one_quantity(one: &Work, other: &Work) -> bool {
    let unit = |row: &Work| folded(row.unit.as_deref().unwrap_or_default());
    one.quantity == other.quantity
        && one.quantity.is_some_and(|of| of > 0.0 && (tells(of) || one.date == other.date))
        && unit(one) == unit(other)
        && folded(&one.task) == folded(&other.task)
        && one.area != other.area
}

/// Whether a quantity has three digits that tell it from others: 355 and 12.5, but neither 300 nor 40 (judgement).
fn tells(quantity: f64) -> bool {
    let written = quantity.to_string().replace('.', "");
    written.trim_matches('0').len() >= 3
}

/// The same stems from the same nursery on the same day, and no batches that tell them apart.
fn one_tray(one: &Planting, other: &Planting) -> bool {
    let batch = |row: &Planting| row.batch.as_deref().is_some_and(|batch| !batch.trim().is_empty());
    let from = |row: &Planting| row.supplier.as_deref().map(supplier);
    one.date == other.date
        && one.species == other.species
        && one.stems == other.stems
        && one.area != other.area
        && one.stock == other.stock
        && from(one) == from(other)
        && !(batch(one) && batch(other))
}

fn apart(one: Option<&AreaId>, other: Option<&AreaId>) -> bool {
    one.zip(other).is_some_and(|(one, other)| one != other)
}

/// On which ground and under whom a thing stands here, and where it stands already.
fn on_two(here: (&Option<AreaId>, &RowShares), there: (&Option<AreaId>, &RowShares), at: &str) -> String {
    let ground =
        |area: &Option<AreaId>| area.as_ref().map_or_else(|| "no area".to_owned(), AreaId::to_string);
    let under = |of: &RowShares| payers(of.of.iter().map(|(payer, _): &(Payer, _)| payer));
    format!(
        "on {} under {} here and on {} under {} in {at}",
        ground(here.0),
        under(here.1),
        ground(there.0),
        under(there.1)
    )
}
