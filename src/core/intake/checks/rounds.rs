//! What a round of survey says twice, and what it leaves open.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::{
    problem::{Place, Problem, Records},
    project::{Layer, Period, PlotId, Project, SpeciesId, slug},
    source::Row,
    units::{day, listed, span},
};

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let rounds = project.rounds();
    for round in &rounds {
        counted_twice(project, round, problems);
        measured_twice(project, round, problems);
    }
    if let Some(round) =
        rounds.iter().rev().find(|round| project.cover.iter().any(|read| round.holds(read.date)))
    {
        covers_left_open(project, round, problems);
    }
}

/// What stands twice in a round: by plot, its first and its last day, the row of that, and what it is.
type Twice<'a> = BTreeMap<&'a PlotId, (NaiveDate, NaiveDate, &'a Row, BTreeSet<String>)>;

fn twice<'a, K: Ord>(seen: impl Iterator<Item = (&'a PlotId, K, NaiveDate, &'a Row, String)>) -> Twice<'a> {
    let mut first: BTreeMap<(&PlotId, K), NaiveDate> = BTreeMap::new();
    let mut twice = Twice::new();
    for (plot, key, date, row, what) in seen {
        let before = *first.entry((plot, key)).or_insert(date);
        if before != date {
            let (one, other) = (before.min(date), before.max(date));
            let own = twice.entry(plot).or_insert_with(|| (one, other, row, BTreeSet::new()));
            own.3.insert(what);
        }
    }
    twice
}

fn say(twice: Twice<'_>, how: &'static str, problems: &mut Vec<Problem>) {
    for (plot, (before, date, row, what)) in twice {
        let what = listed(&what.into_iter().collect::<Vec<_>>());
        let days = format!("{} and again on {}", day(before), day(date));
        let kind = Records::TwiceInARound { plot: plot.to_string(), how, days, what };
        problems.push(Problem::new(kind, Place::row(row).column("date")));
    }
}

fn counted_twice(project: &Project, round: &Period, problems: &mut Vec<Problem>) {
    let tallies = || project.tallies.iter().filter(|tally| round.holds(tally.date));
    // A row that tells no year of planting speaks of the same stems as one that does.
    let undated = tallies().filter(|tally| tally.cohort.is_none());
    let undated: BTreeSet<(&PlotId, &SpeciesId)> =
        undated.map(|tally| (&tally.plot, &tally.species)).collect();
    let seen = tallies().map(|tally| {
        let told = !undated.contains(&(&tally.plot, &tally.species));
        let key = (&tally.species, tally.cohort.filter(|_| told));
        (&tally.plot, key, tally.date, &tally.source, tally.species.to_string())
    });
    say(twice(seen), "counted", problems);
}

fn measured_twice(project: &Project, round: &Period, problems: &mut Vec<Problem>) {
    let seen = project.stems.iter().filter(|stem| round.holds(stem.date)).map(|stem| {
        let what = stem.tag.clone().unwrap_or_else(|| format!("{} without tags", stem.species));
        (&stem.plot, (&stem.species, stem.tag.as_deref()), stem.date, &stem.source, what)
    });
    say(twice(seen), "measured", problems);
}

/// Plots in which some cover was read and of which the sheet doesn't tell whether they have none of another.
fn covers_left_open(project: &Project, round: &Period, problems: &mut Vec<Problem>) {
    let readings = || project.cover.iter().filter(|reading| round.holds(reading.date));
    let plots: BTreeSet<&PlotId> = readings().map(|reading| &reading.plot).collect();
    let noughts = project.layers_with_noughts(round.to);
    let mut layers: BTreeMap<Layer, (BTreeSet<&PlotId>, &Row)> = BTreeMap::new();
    let mut covers: BTreeMap<(Layer, String), (&str, BTreeSet<&PlotId>, &Row)> = BTreeMap::new();
    for reading in readings() {
        let of_layer = layers.entry(reading.layer).or_insert_with(|| (BTreeSet::new(), &reading.source));
        of_layer.0.insert(&reading.plot);
        let of_cover = covers
            .entry((reading.layer, slug(&reading.cover)))
            .or_insert_with(|| (reading.cover.trim(), BTreeSet::new(), &reading.source));
        of_cover.1.insert(&reading.plot);
    }
    let mut ask = |what: String, absent: Vec<String>, row: &Row| {
        if !absent.is_empty() {
            let kind =
                Records::RowAbsent { what, plots: listed(&absent), survey: span(round.from, round.to) };
            problems.push(Problem::new(kind, Place::row(row).column("plot")));
        }
    };
    for (layer, (read, row)) in &layers {
        let absent = plots.difference(read).map(|plot| plot.to_string());
        ask(format!("the {} layer", layer.word()), absent.collect(), row);
    }
    for ((layer, _), (name, read, row)) in covers {
        let Some((of_layer, _)) = layers.get(&layer).filter(|_| noughts.contains(&layer)) else { continue };
        let absent = of_layer.difference(&read).map(|plot| plot.to_string());
        ask(format!("{name} of the {} layer", layer.word()), absent.collect(), row);
    }
}
