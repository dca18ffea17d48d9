//! Densities, recruits, cover and heights from plots.

use std::collections::BTreeMap;

use crate::{
    estimate::{
        cover::{self, Reading},
        density::{Counted, density},
        diameter, height, listed,
        round::to_date,
        visit::Visit,
    },
    ledger::{FigureId, Ledger, fill::Sorted},
    project::{DiameterAt, PlotId, Stem, slug},
    units::Unit,
};

pub(crate) fn enter(ledger: &mut Ledger, sorted: &Sorted<'_>) {
    for scope in sorted.areas() {
        let visits: Vec<&Visit<'_>> =
            sorted.visits.iter().filter(|visit| scope.holds(&visit.plot.area)).collect();
        let stems = |counted| {
            let mut found = density(&visits, &sorted.grounds, counted, sorted.confidence);
            if let Ok(estimate) = &mut found {
                estimate.notes.extend(unseen(sorted, scope.area.is_none()));
            }
            found
        };
        let living = stems(Counted::Living);
        ledger.enter_scope("density", "Living stems per hectare", scope, Unit::StemsPerHectare, living);
        let recruits = stems(Counted::Recruits);
        let what = "Self-sown stems per hectare";
        ledger.enter_scope("recruits", what, scope, Unit::StemsPerHectare, recruits);
    }
    cover(ledger, sorted);
    for (species, heights) in height::latest(sorted.project) {
        let id = FigureId::of("height.median", &species.0);
        let median = height::median(&heights, sorted.confidence);
        ledger.enter(id, format!("Median height, {species}"), Unit::Height, median);
    }
    cohorts(ledger, sorted);
    for ((at, species), diameters) in diameter::latest(sorted.project) {
        let (stem, place) = match at {
            DiameterAt::Base => ("diameter.base", "10 cm above the ground"),
            DiameterAt::Breast => ("diameter.breast", "breast height"),
        };
        let median = diameter::median(&diameters, sorted.confidence);
        let label = format!("Median diameter at {place}, {species}");
        ledger.enter(FigureId::of(stem, &species.0), label, Unit::Millimetres, median);
    }
}

/// Heights by year of planting, of areas that were planted in one year only: a stem's row does not say when it was planted.
fn cohorts(ledger: &mut Ledger, sorted: &Sorted<'_>) {
    let years: BTreeMap<&PlotId, i32> = sorted
        .project
        .plots
        .iter()
        .filter_map(|plot| Some((&plot.id, sorted.log.only_cohort(&plot.area)?)))
        .collect();
    let year = |stem: &Stem| years.get(&stem.plot).copied();
    for (year, heights) in height::within(sorted.project, to_date(sorted.project), year) {
        let id = FigureId::of("height.cohort", &year.to_string());
        let median = height::median(&heights, sorted.confidence);
        ledger.enter(id, format!("Median height, planted in {year}"), Unit::Height, median);
    }
}

fn cover(ledger: &mut Ledger, sorted: &Sorted<'_>) {
    let visited = |reading: &&Reading<'_>, area| &reading.plot.area == area;
    for ((layer, cover), readings) in cover::latest(sorted.project, slug) {
        for scope in sorted.areas() {
            let here: Vec<&Reading<'_>> = readings
                .iter()
                .filter(|reading| scope.area.is_none_or(|area| visited(reading, area)))
                .collect();
            let written = here.first().and_then(|reading| reading.readings.first());
            let name = written.map_or(cover.as_str(), |reading| reading.cover.trim());
            let stem = format!("cover.{}.{cover}", layer.word());
            let what = format!("Cover of the {} layer, {name}", layer.word());
            let share = cover::cover(&here, &sorted.grounds, sorted.confidence);
            ledger.enter_scope(&stem, &what, scope, Unit::Fraction, share);
        }
    }
}

/// Which areas no plot speaks of, in the figure for all of them.
fn unseen(sorted: &Sorted<'_>, all: bool) -> Option<String> {
    let seen = |area: &_| sorted.visits.iter().any(|visit| &visit.plot.area == area);
    let without: Vec<String> = sorted
        .project
        .areas
        .iter()
        .filter(|area| all && !seen(&area.id))
        .map(|area| area.id.to_string())
        .collect();
    (!without.is_empty()).then(|| format!("left out, because no plot tells of it: {}", listed(&without)))
}
