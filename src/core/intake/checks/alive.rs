//! More stems of a species counted alive in the plots of an area than were ever planted in the whole of it.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    problem::{Place, Problem, Records},
    project::{AreaId, PlotId, Project, SpeciesId, Tally},
};

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let mut planted: BTreeMap<(&AreaId, &SpeciesId), u64> = BTreeMap::new();
    for planting in project.plantings_to_date() {
        *planted.entry((&planting.area, &planting.species)).or_default() += planting.stems.0;
    }
    for (key, (alive, last)) in alive(project) {
        // Where none was planted at all, that is said instead.
        let Some(&planted) = planted.get(&key).filter(|planted| alive > **planted) else { continue };
        let (area, species) = key;
        let kind =
            Records::MoreAliveThanPlanted { alive, planted, whereabouts: format!("{area} ({species})") };
        problems.push(Problem::new(kind, Place::row(&last.source).column("alive")));
    }
}

/// Stems alive at the latest visit of each plot, by area and species, with the last row of the count.
fn alive(project: &Project) -> BTreeMap<(&AreaId, &SpeciesId), (u64, &Tally)> {
    let areas: BTreeMap<&PlotId, &AreaId> = project.plots.iter().map(|plot| (&plot.id, &plot.area)).collect();
    let mut latest: BTreeMap<&PlotId, NaiveDate> = BTreeMap::new();
    let tallies = || project.tallies.iter().filter(|tally| tally.date <= project.period.to);
    for tally in tallies() {
        let day = latest.entry(&tally.plot).or_insert(tally.date);
        *day = tally.date.max(*day);
    }
    let mut alive = BTreeMap::new();
    for tally in tallies().filter(|tally| latest.get(&tally.plot) == Some(&tally.date)) {
        if let Some(area) = areas.get(&tally.plot) {
            let sum = alive.entry((*area, &tally.species)).or_insert((0, tally));
            *sum = (sum.0 + tally.alive.0, tally);
        }
    }
    alive
}
