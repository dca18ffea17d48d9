//! Densities, recruits, cover and heights from plots.

use std::collections::BTreeMap;

use crate::{
    estimate::{
        Estimate, Gap, Sample,
        cover::{self, Covered, Key},
        density::{Counted, density},
        diameter, height, listed,
        ratio::count,
        visit::Visit,
    },
    ledger::{
        Ledger, Member, catalogue,
        fill::{FillContext, Scope, rests::By},
    },
    project::{DiameterAt, Period, PlotId, Stem, slug},
    units::Share,
};

pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>) {
    for scope in context.areas() {
        let visits = context.visits(scope);
        let days = context.rounds.last().map(|round| round.days);
        for (counted, series) in [
            (Counted::Living, &catalogue::DENSITY),
            (Counted::Planted, &catalogue::PLANTED_ALIVE_DENSITY),
            (Counted::Recruits, &catalogue::RECRUITS),
        ] {
            let mut found = density(&visits, &context.grounds, counted, context.confidence);
            if let Ok(estimate) = &mut found {
                estimate.notes.extend(unseen(context, scope, &visits));
            }
            let Some(round) = context.round(scope) else {
                ledger.enter_series(series, scope, found);
                continue;
            };
            let plots = visits.iter().map(|visit| &visit.plot.id);
            let rests = context.rests(scope, (round.days, days), plots, By::Ground);
            ledger.enter_named(series.named([rests.member(scope)]), rests.under(found));
        }
    }
    cover(ledger, context);
    let project = context.project;
    if let Some(round) = height::latest_round(project, |_| true) {
        for (species, heights) in height::within(project, round, |stem| Some(&stem.species)) {
            let sample = Sample { plots: heights.plots(), round, part: 1.0 };
            let median = height::median(&heights, context.confidence);
            let median = median.map(|median| Estimate { sample: Some(sample), ..median });
            ledger.enter_named(catalogue::HEIGHT.named([species.into()]), median);
        }
    }
    cohorts(ledger, context);
    let round = diameter::latest_round(project);
    for ((at, species), diameters) in round.map(|round| diameter::within(project, round)).unwrap_or_default()
    {
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
    let Some(round) = height::latest_round(context.project, |stem| year(stem).is_some()) else { return };
    for (year, heights) in height::within(context.project, round, year) {
        let median = height::median(&heights, context.confidence);
        ledger.enter_named(catalogue::COHORT_HEIGHT.named([year.into()]), median);
    }
}

fn cover(ledger: &mut Ledger, context: &FillContext<'_>) {
    let project = context.project;
    let rounds: Vec<(Period, BTreeMap<Key, Covered<'_>>)> =
        project.rounds().into_iter().map(|round| (round, cover::within(project, round, slug))).collect();
    let names = cover::names(project, slug);
    for ((layer, cover), name) in names {
        let key = (layer, cover);
        // The latest round of a layer tells of all its covers, of those too that it found nowhere.
        let read = |scope: Scope<'_>| {
            rounds.iter().rev().find_map(|(round, covers)| {
                let here = covers.get(&key)?.within(|area| scope.holds(area));
                (!here.read.is_empty() || !here.untold.is_empty()).then_some((*round, here))
            })
        };
        let latest = read(Scope { area: None }).map(|(round, _)| round);
        for scope in context.areas() {
            let member = Member::new(key.1.as_str(), name);
            let Some((round, here)) = read(scope) else {
                let named = catalogue::COVER.named([layer.word().into(), member, scope.into()]);
                ledger.enter_named::<Share>(named, Err(Gap::NoCover));
                continue;
            };
            let plots = here.read.iter().map(|reading| &reading.plot.id);
            let rests = context.rests(scope, (round, latest), plots, By::Ground);
            let mut share = cover::cover(&here.read, &context.grounds, context.confidence);
            if let Ok(share) = &mut share {
                share.notes.extend(untold(&here));
            }
            let named = catalogue::COVER.named([layer.word().into(), member, rests.member(scope)]);
            let mut share = rests.under(share);
            if let Some(sample) = share.as_mut().ok().and_then(|share| share.sample.as_mut()) {
                sample.part *= count(here.read.len()) / count(here.read.len() + here.untold.len());
            }
            ledger.enter_named(named, share);
        }
    }
}

/// Plots of which the sheet doesn't tell.
fn untold(here: &Covered<'_>) -> Option<String> {
    let plots: Vec<String> = here.untold.iter().map(|plot| plot.id.to_string()).collect();
    (!plots.is_empty()).then(|| {
        format!(
            "left out, because the sheet does not say whether they have none or were not read: {}",
            listed(&plots)
        )
    })
}

/// Which areas no plot speaks of, in the figure for all of them.
fn unseen(context: &FillContext<'_>, scope: Scope<'_>, visits: &[&Visit<'_>]) -> Option<String> {
    let seen = |area: &_| visits.iter().any(|visit| &visit.plot.area == area);
    let without: Vec<String> = context
        .project
        .areas
        .iter()
        .filter(|area| scope.area.is_none() && !seen(&area.id))
        .map(|area| area.id.to_string())
        .collect();
    (!without.is_empty()).then(|| format!("left out, because no plot tells of it: {}", listed(&without)))
}
