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
    ledger::{Ledger, Member, catalogue, fill::FillContext},
    project::{DiameterAt, PlotId, Stem, slug},
};

pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>) {
    for scope in context.areas() {
        let visits: Vec<&Visit<'_>> =
            context.visits.iter().filter(|visit| scope.holds(&visit.plot.area)).collect();
        let stems = |counted| {
            let mut found = density(&visits, &context.grounds, counted, context.confidence);
            if let Ok(estimate) = &mut found {
                estimate.notes.extend(unseen(context, scope.area.is_none()));
            }
            found
        };
        let living = stems(Counted::Living);
        ledger.enter_series(&catalogue::DENSITY, scope, living);
        let recruits = stems(Counted::Recruits);
        ledger.enter_series(&catalogue::RECRUITS, scope, recruits);
    }
    cover(ledger, context);
    for (species, heights) in height::latest(context.project) {
        let median = height::median(&heights, context.confidence);
        ledger.enter_named(catalogue::HEIGHT.named([species.into()]), median);
    }
    cohorts(ledger, context);
    for ((at, species), diameters) in diameter::latest(context.project) {
        let series = match at {
            DiameterAt::Base => &catalogue::DIAMETER_BASE,
            DiameterAt::Breast => &catalogue::DIAMETER_BREAST,
        };
        let median = diameter::median(&diameters, context.confidence);
        ledger.enter_named(series.named([species.into()]), median);
    }
}

/// Heights by year of planting, of areas that were planted in one year only: a stem's row does not say when it was planted.
fn cohorts(ledger: &mut Ledger, context: &FillContext<'_>) {
    let years: BTreeMap<&PlotId, i32> = context
        .project
        .plots
        .iter()
        .filter_map(|plot| Some((&plot.id, context.log.only_cohort(&plot.area)?)))
        .collect();
    let year = |stem: &Stem| years.get(&stem.plot).copied();
    for (year, heights) in height::within(context.project, to_date(context.project), year) {
        let median = height::median(&heights, context.confidence);
        ledger.enter_named(catalogue::COHORT_HEIGHT.named([year.into()]), median);
    }
}

fn cover(ledger: &mut Ledger, context: &FillContext<'_>) {
    let visited = |reading: &&Reading<'_>, area| &reading.plot.area == area;
    for ((layer, cover), readings) in cover::latest(context.project, slug) {
        for scope in context.areas() {
            let here: Vec<&Reading<'_>> = readings
                .iter()
                .filter(|reading| scope.area.is_none_or(|area| visited(reading, area)))
                .collect();
            let written = here.first().and_then(|reading| reading.readings.first());
            let name = written.map_or(cover.as_str(), |reading| reading.cover.trim());
            let cover = Member::new(cover.as_str(), name);
            let share = cover::cover(&here, &context.grounds, context.confidence);
            ledger.enter_named(catalogue::COVER.named([layer.word().into(), cover, scope.into()]), share);
        }
    }
}

/// Which areas no plot speaks of, in the figure for all of them.
fn unseen(context: &FillContext<'_>, all: bool) -> Option<String> {
    let seen = |area: &_| context.visits.iter().any(|visit| &visit.plot.area == area);
    let without: Vec<String> = context
        .project
        .areas
        .iter()
        .filter(|area| all && !seen(&area.id))
        .map(|area| area.id.to_string())
        .collect();
    (!without.is_empty()).then(|| format!("left out, because no plot tells of it: {}", listed(&without)))
}
