//! Living and lost stems of one row changed over: each under the other's name, they are what the plot and the species have elsewhere.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    problem::{Change, Place, Problem, SecondReading, Surveyed},
    project::{Project, Tally},
    units::percent,
};

/// Stems in a row, and other rows of its species and of its plot, from which they tell what is usual (common practice, no source).
const STEMS: u64 = 8;
const OTHERS: (usize, usize) = (2, 1);

/// How far, as a part, the row must lie from the rest as it is read, and how near if it is changed over (common practice, no source).
const FAR: f64 = 0.45;
const NEAR: f64 = 0.20;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let mut days: BTreeMap<NaiveDate, Vec<&Tally>> = BTreeMap::new();
    for tally in project.tallies.iter().filter(|tally| tally.set() > 0) {
        days.entry(tally.date).or_default().push(tally);
    }
    for tally in project.tallies.iter().filter(|tally| tally.set() >= STEMS) {
        // A survey takes days: the rows of a month are of one.
        let near = |day: &NaiveDate| (*day - tally.date).num_days().abs() <= DAYS;
        let others = || {
            let rows = days.iter().filter(|(day, _)| near(day)).flat_map(|(_, rows)| rows.iter().copied());
            rows.filter(|other| other.source != tally.source)
        };
        let of_species =
            alive(others().filter(|other| other.species == tally.species && other.cohort == tally.cohort));
        let of_plot = alive(others().filter(|other| other.plot == tally.plot));
        let (Some((species, species_rows)), Some((plot, plot_rows))) = (of_species, of_plot) else {
            continue;
        };
        if species_rows < OTHERS.0 || plot_rows < OTHERS.1 {
            continue;
        }
        let (here, over) = (part(tally.alive.0, tally.set()), part(tally.set() - tally.alive.0, tally.set()));
        let far = |usual: f64| (here - usual).abs() >= FAR;
        let near = |usual: f64| (over - usual).abs() <= NEAR;
        if !(far(species) && far(plot) && near(species)) {
            continue;
        }
        let kind = Surveyed::CountsChangedOver {
            species: tally.species.to_string().into(),
            plot: tally.plot.to_string().into(),
            alive: tally.alive.0,
            set: tally.set(),
            of_species: percent(species, 0).into(),
            of_plot: percent(plot, 0).into(),
        };
        let other = SecondReading::of(Change::AliveForLost, [&tally.source]);
        problems.push(Problem::new(kind, Place::row(&tally.source).column("alive")).or(other));
    }
}

/// Days within which rows are of one survey (common practice, no source).
const DAYS: i64 = 30;

/// The part of the stems of `rows` that lives, and how many rows there are; `None` where there are none.
fn alive<'a>(rows: impl Iterator<Item = &'a Tally>) -> Option<(f64, usize)> {
    let (alive, set, count) =
        rows.fold((0, 0, 0), |(alive, set, count), row| (alive + row.alive.0, set + row.set(), count + 1));
    (set > 0).then(|| (part(alive, set), count))
}

#[allow(clippy::cast_precision_loss, reason = "no folder holds 2^53 stems")]
fn part(some: u64, all: u64) -> f64 {
    some as f64 / all as f64
}
