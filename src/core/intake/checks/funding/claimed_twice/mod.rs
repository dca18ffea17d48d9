//! One receipt, stem, hour, metre, asset or promise in two rows that two agreements claim.

mod assets;
mod batches;
mod days;
mod elsewhere;
mod gifts;
mod people;
mod promises;
mod receipts;

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    intake::{
        checks::funding::{payers, place},
        nearest::folded,
    },
    problem::{Funding, Place, Problem},
    project::{Claims, Payer, Project},
    sharing::{RowShares, Shares},
    source::Row,
    units::{Stems, day, number, whole},
};

pub(crate) use assets::bought;
pub(in crate::intake::checks) use receipts::{is_claimed_twice, is_in_parts, is_likely_twice};

pub(super) fn check(project: &Project, shares: &Shares, problems: &mut Vec<Problem>) {
    receipts::check(project, problems);
    stems(project, problems);
    batches::check(project, shares, problems);
    hours(project, problems);
    days::check(project, shares, problems);
    quantities(project, problems);
    elsewhere::check(project, shares, problems);
    assets::check(project, shares, problems);
    promises::check(project, problems);
    gifts::check(project, shares, problems);
}

/// The agreements among those who bear a row.
fn agreements(of: &RowShares) -> BTreeSet<&Payer> {
    of.of.iter().map(|(payer, _)| payer).filter(|payer| matches!(payer, Payer::Agreement(_))).collect()
}

/// The rows of one thing, each with those who claim it.
type Claimed<'a> = Vec<(&'a Row, &'a Claims)>;

/// Whether two rows are claimed by different payers, one an agreement at least.
fn differ(one: &Claims, other: &Claims) -> bool {
    let set = |claims: &Claims| claims.0.iter().map(|(payer, _)| payer.clone()).collect::<Vec<Payer>>();
    one != other && set(one) != set(other) && !(one.is_empty() && other.is_empty())
}

/// Who claims a row, in words; one that names nobody is the folder's.
fn by(claims: &Claims) -> String {
    if claims.is_empty() {
        "a row without an agreement".to_owned()
    } else {
        payers(claims.0.iter().map(|(payer, _)| payer))
    }
}

/// Who claims a thing here and who in the `first` row.
fn claimed(first: &Row, earlier: &Claims, claims: &Claims) -> String {
    format!("by {} here and by {} in {}", by(claims), by(earlier), place(first))
}

/// Says of each later row of a thing that an earlier one of another payer has it already.
fn each<'a>(rows: &Claimed<'a>, mut says: impl FnMut(&'a Row, &'a Claims, &'a Row, &'a Claims)) {
    for (at, (row, claims)) in rows.iter().enumerate() {
        if let Some((first, earlier)) = rows[..at].iter().find(|(_, earlier)| differ(earlier, claims)) {
            says(first, earlier, row, claims);
        }
    }
}

fn stems(project: &Project, problems: &mut Vec<Problem>) {
    let mut alike: BTreeMap<_, Claimed<'_>> = BTreeMap::new();
    for row in &project.plantings {
        let batch = row.batch.as_deref().map(batches::batch_number);
        let key = (row.date, &row.area, &row.species, row.stems.0, batch);
        alike.entry(key).or_default().push((&row.source, &row.claims));
    }
    for ((date, _, species, stems, _), rows) in &alike {
        each(rows, |first, earlier, row, claims| {
            let kind = Funding::StemsClaimedTwice {
                stems: whole(Stems(*stems).0),
                species: species.0.to_string(),
                day: day(*date),
                by: claimed(first, earlier, claims),
            };
            problems.push(Problem::new(kind, Place::row(row).column("stems")));
        });
    }
}

fn hours(project: &Project, problems: &mut Vec<Problem>) {
    let people = people::People::of(project);
    let mut alike: BTreeMap<_, Claimed<'_>> = BTreeMap::new();
    for row in &project.works {
        let Some(hours) = row.hours.filter(|hours| hours.0 > 0.0) else { continue };
        let person = row.person.as_deref().map(|person| people.who(person));
        let key = (row.date, folded(&row.task), &row.area, row.people, hours.0.to_bits(), person);
        alike.entry(key).or_default().push((&row.source, &row.claims));
    }
    for ((date, task, _, people, hours, _), rows) in &alike {
        each(rows, |first, earlier, row, claims| {
            let kind = Funding::HoursClaimedTwice {
                hours: number(f64::from_bits(*hours) * f64::from(*people), 1),
                task: task.clone(),
                day: day(*date),
                by: claimed(first, earlier, claims),
            };
            problems.push(Problem::new(kind, Place::row(row).column("hours")));
        });
    }
}

fn quantities(project: &Project, problems: &mut Vec<Problem>) {
    let mut alike: BTreeMap<_, Claimed<'_>> = BTreeMap::new();
    for row in &project.works {
        let Some(quantity) = row.quantity.filter(|quantity| *quantity > 0.0) else { continue };
        let unit = folded(row.unit.as_deref().unwrap_or_default());
        let key = (folded(&row.task), &row.area, quantity.to_bits(), unit);
        alike.entry(key).or_default().push((&row.source, &row.claims));
    }
    for ((task, _, quantity, unit), rows) in &alike {
        each(rows, |first, earlier, row, claims| {
            let kind = Funding::QuantityClaimedTwice {
                quantity: format!("{} {unit}", number(f64::from_bits(*quantity), 1)),
                task: task.clone(),
                by: claimed(first, earlier, claims),
            };
            problems.push(Problem::new(kind, Place::row(row).column("quantity")));
        });
    }
}
