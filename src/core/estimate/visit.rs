//! The latest visit of each plot, and what was counted on it.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    estimate::round::to_date,
    project::{Period, Plot, PlotId, Project, SpeciesId, Tally},
    source::Row,
    units::Stems,
};

/// The latest visit of a plot within a time.
#[derive(Debug, Clone, PartialEq)]
pub struct Visit<'a> {
    /// The plot.
    pub plot: &'a Plot,
    /// The day.
    pub date: NaiveDate,
    /// What was tallied that day, in the order of its rows.
    pub tallies: Vec<&'a Tally>,
}

/// The latest visit of each plot up to the period's end, in order of plot; plots that were never tallied are left out.
#[must_use]
pub fn latest(project: &Project) -> Vec<Visit<'_>> {
    within(project, to_date(project))
}

/// The latest visit of each plot within `window`, in order of plot; plots that were not tallied in it are left out.
#[must_use]
pub fn within(project: &Project, window: Period) -> Vec<Visit<'_>> {
    let mut visits: BTreeMap<&PlotId, Visit<'_>> = BTreeMap::new();
    let plots: BTreeMap<&PlotId, &Plot> = project.plots.iter().map(|plot| (&plot.id, plot)).collect();
    for tally in project.tallies.iter().filter(|tally| window.holds(tally.date)) {
        let Some(&plot) = plots.get(&tally.plot) else { continue };
        let visit =
            visits.entry(&plot.id).or_insert_with(|| Visit { plot, date: tally.date, tallies: Vec::new() });
        if tally.date > visit.date {
            visit.date = tally.date;
            visit.tallies.clear();
        }
        if tally.date == visit.date {
            visit.tallies.push(tally);
        }
    }
    visits.into_values().collect()
}

/// Planted stems of one plot, or of one species or cohort in it, as they were found.
#[derive(Debug, Clone, PartialEq)]
pub struct Found<'a> {
    /// The plot.
    pub plot: &'a Plot,
    /// Found alive.
    pub alive: u64,
    /// Not found.
    pub missing: u64,
    /// Stems that had been set; `None` where it can't be told.
    pub set: Option<u64>,
    /// The rows that say so.
    pub rows: Vec<&'a Row>,
}

/// What the visits found: in whole plots, by species, by cohort.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Survey<'a> {
    /// All planted stems, by plot.
    pub whole: Vec<Found<'a>>,
    /// By species, then plot.
    pub species: BTreeMap<&'a SpeciesId, Vec<Found<'a>>>,
    /// By year of planting, then plot.
    pub cohorts: BTreeMap<i32, Vec<Found<'a>>>,
}

/// Sorts what `visits` found, in one walk; `cohort` tells the year of planting of a tally, where it can be told.
pub fn survey<'a>(visits: &[Visit<'a>], cohort: impl Fn(&Visit<'a>, &Tally) -> Option<i32>) -> Survey<'a> {
    let mut survey = Survey::default();
    for visit in visits {
        let mut species: BTreeMap<&SpeciesId, Vec<&Tally>> = BTreeMap::new();
        let mut cohorts: BTreeMap<i32, Vec<&Tally>> = BTreeMap::new();
        for &tally in &visit.tallies {
            species.entry(&tally.species).or_default().push(tally);
            if let Some(year) = cohort(visit, tally) {
                cohorts.entry(year).or_default().push(tally);
            }
        }
        let whole = visit.plot.planted_stems;
        // The stems set in the whole plot are those of a species only where the plot holds no other.
        let alone = |parts: usize| whole.filter(|_| parts == 1);
        survey.whole.push(found(visit.plot, &visit.tallies, whole));
        let set = alone(species.len());
        for (id, tallies) in species {
            survey.species.entry(id).or_default().push(found(visit.plot, &tallies, set));
        }
        let all_dated = cohorts.values().map(Vec::len).sum::<usize>() == visit.tallies.len();
        let set = alone(cohorts.len()).filter(|_| all_dated);
        for (year, tallies) in cohorts {
            survey.cohorts.entry(year).or_default().push(found(visit.plot, &tallies, set));
        }
    }
    survey
}

fn found<'a>(plot: &'a Plot, tallies: &[&'a Tally], planted: Option<Stems>) -> Found<'a> {
    let sum = |of: fn(&Tally) -> Option<Stems>| {
        tallies.iter().filter_map(|&tally| of(tally)).map(|stems| stems.0).sum::<u64>()
    };
    let alive = sum(|tally| Some(tally.alive));
    let tallied: u64 = tallies.iter().map(|tally| tally.set()).sum();
    let complete = tallies.iter().all(|tally| tally.dead.is_some() && tally.missing.is_some());
    let silent = tallies.iter().any(|tally| tally.dead.is_none() && tally.missing.is_none());
    let set = match planted {
        _ if complete => Some(tallied),
        // More found than set is a doubt of the folder's; the share may not pass 1 for it.
        Some(planted) => Some(planted.0.max(tallied)),
        None => (!silent).then_some(tallied),
    };
    let dead_known = tallies.iter().all(|tally| tally.dead.is_some());
    let missing = match set {
        Some(set) if !complete && dead_known => set - alive - sum(|tally| tally.dead),
        _ => sum(|tally| tally.missing),
    };
    Found { plot, alive, missing, set, rows: tallies.iter().map(|tally| &tally.source).collect() }
}
