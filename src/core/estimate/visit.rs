//! Rounds of survey, the visits of their plots, and what was counted on them.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    project::{Period, Plot, PlotId, Project, SpeciesId, Tally},
    source::Row,
    units::Stems,
};

/// What one round of survey saw of a plot.
#[derive(Debug, Clone, PartialEq)]
pub struct Visit<'a> {
    /// The plot.
    pub plot: &'a Plot,
    /// The last of its days.
    pub date: NaiveDate,
    /// What was tallied, in the order of its rows: of all days of the round, a species that was counted twice as it was counted last.
    pub tallies: Vec<&'a Tally>,
}

/// A round of survey in which plots were tallied.
#[derive(Debug, Clone, PartialEq)]
pub struct Round<'a> {
    /// Its first and its last day.
    pub days: Period,
    /// Its visits, in order of plot.
    pub visits: Vec<Visit<'a>>,
}

/// The rounds up to the period's end in which plots were tallied, in order of time.
#[must_use]
pub fn rounds(project: &Project) -> Vec<Round<'_>> {
    let rounds = project.rounds().into_iter();
    let rounds = rounds.map(|days| Round { days, visits: within(project, days) });
    rounds.filter(|round| !round.visits.is_empty()).collect()
}

/// The last day on which each year of planting, or none that is told, of a species was counted in a plot.
type Counted<'a> = BTreeMap<(&'a PlotId, &'a SpeciesId), BTreeMap<Option<i32>, NaiveDate>>;

/// The visits of the round that holds the days of `window`, in order of plot; plots that were not tallied in it are left out.
#[must_use]
pub fn within(project: &Project, window: Period) -> Vec<Visit<'_>> {
    let tallies = || project.tallies.iter().filter(|tally| window.holds(tally.date));
    let mut last = Counted::new();
    for tally in tallies() {
        let cohorts = last.entry((&tally.plot, &tally.species)).or_default();
        let day = cohorts.entry(tally.cohort).or_insert(tally.date);
        *day = tally.date.max(*day);
    }
    // A row that tells no year of planting speaks of the same stems as one that does.
    let counted_again = |tally: &Tally| {
        last.get(&(&tally.plot, &tally.species)).is_some_and(|cohorts| {
            let mut later = cohorts.iter().filter(|(_, day)| **day > tally.date);
            later.any(|(cohort, _)| *cohort == tally.cohort || cohort.is_none() || tally.cohort.is_none())
        })
    };
    let mut visits: BTreeMap<&PlotId, Visit<'_>> = BTreeMap::new();
    let plots: BTreeMap<&PlotId, &Plot> = project.plots.iter().map(|plot| (&plot.id, plot)).collect();
    for tally in tallies() {
        let Some(&plot) = plots.get(&tally.plot) else { continue };
        let visit =
            visits.entry(&plot.id).or_insert_with(|| Visit { plot, date: tally.date, tallies: Vec::new() });
        visit.date = visit.date.max(tally.date);
        if !counted_again(tally) {
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
    /// Stems tallied as planted beyond those that had been set.
    pub self_sown: u64,
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
pub fn survey<'a: 'v, 'v>(
    visits: impl IntoIterator<Item = &'v Visit<'a>>,
    cohort: impl Fn(&Visit<'a>, &Tally) -> Option<i32>,
) -> Survey<'a> {
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
    let rows = tallies.iter().map(|tally| &tally.source).collect();
    let (alive, gone) =
        (sum(|tally| Some(tally.alive)), sum(|tally| tally.dead) + sum(|tally| tally.missing));
    let tallied = alive + gone;
    let complete = tallies.iter().all(|tally| tally.dead.is_some() && tally.missing.is_some());
    let silent = tallies.iter().any(|tally| tally.dead.is_none() && tally.missing.is_none());
    let mut found = Found { plot, alive, missing: sum(|tally| tally.missing), set: None, self_sown: 0, rows };
    match planted {
        Some(planted) if tallied > planted.0 => {
            // Where more stems stand than were set, the rest have sown themselves, and the share alive may not rise for it.
            found.alive = planted.0.saturating_sub(gone);
            found.self_sown = alive - found.alive;
            found.set = Some(planted.0.max(gone));
        }
        Some(planted) => {
            // What was set and is neither alive nor dead is not accounted for, and so missing.
            let dead_known = tallies.iter().all(|tally| tally.dead.is_some());
            if dead_known || complete {
                found.missing = planted.0 - alive - sum(|tally| tally.dead);
            }
            found.set = Some(planted.0);
        }
        None => found.set = (!silent).then_some(tallied),
    }
    found
}
