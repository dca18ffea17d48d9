//! One plot under two names: the same place with the same counts.

use std::collections::BTreeMap;

use crate::{
    intake::checks::say_of,
    problem::{Change, Problem, SecondReading, Surveyed},
    project::{Plot, PlotId, Project, Tally},
    units::{listed, number},
};

/// Metres within which the middles of two plots are one place: what a hand-held receiver strays (common practice, no source).
const ONE_PLACE: f64 = 5.0;

/// Rows of counts that agree by no chance, where the places are one and where a place is not known (common practice, no source).
const ROWS: usize = 3;
const ROWS_ALONE: usize = 6;

/// Metres in a degree of latitude.
const DEGREE: f64 = 111_195.0;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let mut counts: BTreeMap<&PlotId, Vec<&Tally>> = BTreeMap::new();
    for tally in &project.tallies {
        counts.entry(&tally.plot).or_default().push(tally);
    }
    for (at, plot) in project.plots.iter().enumerate() {
        let Some(own) = counts.get(&plot.id) else { continue };
        let earlier = project.plots.iter().take(at);
        let twin = earlier.filter_map(|first| Some((first, counts.get(&first.id)?, apart(first, plot))));
        let mut twins = twin.filter(|(_, theirs, apart)| {
            let least = if apart.is_some() { ROWS } else { ROWS_ALONE };
            apart.is_none_or(|metres| metres <= ONE_PLACE) && own.len() >= least && same(own, theirs)
        });
        if let Some((first, _, apart)) = twins.next() {
            let alive: u64 = own.iter().map(|tally| tally.alive.0).sum();
            let days: Vec<String> =
                own.iter().map(|tally| crate::units::day(tally.date)).fold(Vec::new(), |mut days, day| {
                    if !days.contains(&day) {
                        days.push(day);
                    }
                    days
                });
            let kind = Surveyed::PlotUnderTwoNames {
                plot: plot.id.to_string().into(),
                first: first.id.to_string().into(),
                counts: format!("the {} counts of {}", own.len(), listed(&days)).into(),
                place: apart
                    .map_or_else(String::new, |metres| format!(", and lies {} m from it", number(metres, 1)))
                    .into(),
                both: (alive * 2).to_string().into(),
                one: alive.to_string().into(),
            };
            let rows = || own.iter().map(|tally| &tally.source);
            let other = SecondReading::of(Change::LeftOut, rows());
            say_of(kind, rows(), "plot", Some(&other), problems);
        }
    }
}

/// Whether the counts of two plots are the same, in whatever order they stand.
fn same(one: &[&Tally], other: &[&Tally]) -> bool {
    let counts = |tallies: &[&Tally]| {
        let mut all: Vec<_> = tallies
            .iter()
            .map(|row| {
                let stems = [Some(row.alive), row.dead, row.missing, row.recruits]
                    .map(|stems| stems.map(|stems| stems.0));
                (row.date, row.species.to_string(), stems, row.cohort)
            })
            .collect();
        all.sort();
        all
    };
    one.len() == other.len() && counts(one) == counts(other)
}

/// How far two plots lie from one another, m; `None` where a place is not known.
fn apart(one: &Plot, other: &Plot) -> Option<f64> {
    let (one, other) = (one.position?, other.position?);
    let north = (one.y() - other.y()) * DEGREE;
    let east = (one.x() - other.x()) * DEGREE * libm::cos(one.y().to_radians());
    Some(libm::hypot(north, east))
}
