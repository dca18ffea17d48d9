//! Counts that stand apart: two of the same stems on one day, and a plot with half of what all others have, or twice as much.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    geometry,
    intake::checks::{
        median,
        plots::{HECTARE, set, size},
        say_of,
    },
    problem::{Change, Place, Problem, SecondReading, Surveyed},
    project::{AreaId, Plot, PlotId, Project, SpeciesId, Tally},
    units::{day, number},
};

/// Plots beside one from which they tell what is usual, and how far they may lie from the middle one (common practice, no source).
const OTHERS: usize = 4;
const USUAL: std::ops::RangeInclusive<f64> = 0.75..=1.34;

/// The part of what is usual below which a plot stands apart, and its inverse above (common practice, no source).
const HALF: f64 = 0.6;

/// Standard errors of a count by which it must be less: beyond it lie 5 % of all counts.
const ERRORS: f64 = 1.645;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    twice(project, problems);
    apart(project, problems);
}

/// Words of a note on a count that takes the place of another.
const ANEW: [&str; 6] = ["again", "anew", "recount", "correct", "second count", "checked"];

/// Two rows of one day, plot, species and year of planting that say different counts: they are added up. Where each row is a plant there are
/// more of them, and a note tells why there are two.
fn twice(project: &Project, problems: &mut Vec<Problem>) {
    let mut counts: BTreeMap<(NaiveDate, &PlotId, &SpeciesId, Option<i32>), Vec<&Tally>> = BTreeMap::new();
    for tally in &project.tallies {
        counts.entry((tally.date, &tally.plot, &tally.species, tally.cohort)).or_default().push(tally);
    }
    for tallies in counts.values() {
        let &[earlier, tally] = tallies.as_slice() else { continue };
        let of = |tally: &Tally| (tally.alive, tally.dead, tally.missing, tally.recruits);
        let says_why = tally.note.as_ref().is_some_and(|note| {
            let note = note.to_lowercase();
            !ANEW.iter().any(|word| note.contains(word))
        });
        // The same row once more is told as that.
        if of(earlier) == of(tally) || says_why || earlier.set().max(tally.set()) <= 1 {
            continue;
        }
        let whereabouts = match earlier.source.file == tally.source.file {
            true => format!("row {}", earlier.source.row),
            false => format!("row {} of {}", earlier.source.row, earlier.source.file),
        };
        let kind = Surveyed::CountsOfOneDay {
            plot: tally.plot.to_string().into(),
            species: tally.species.to_string().into(),
            day: day(tally.date).into(),
            first: format!("{} alive in {whereabouts}", earlier.alive.0).into(),
            second: tally.alive.0,
            together: earlier.alive.0 + tally.alive.0,
        };
        let other = SecondReading::of(Change::LeftOut, [&earlier.source]);
        problems.push(Problem::new(kind, Place::row(&tally.source).column("alive")).or(other));
    }
}

/// A plot in which far fewer stems were set for its size and its area's log than in all others, which agree, or far more.
fn apart(project: &Project, problems: &mut Vec<Problem>) {
    let mut log: BTreeMap<&AreaId, f64> = BTreeMap::new();
    for planting in project.plantings_to_date() {
        *log.entry(&planting.area).or_default() += count(planting.stems.0);
    }
    let hectares: BTreeMap<&AreaId, f64> =
        project.areas.iter().map(|area| (&area.id, geometry::area(&area.boundary).0 / HECTARE)).collect();
    let set = set(project);
    let of_log = |plot: &Plot| {
        let stems = count(*set.get(&plot.id)?);
        let expected = log.get(&plot.area)? / hectares.get(&plot.area)? * size(plot.shape) / HECTARE;
        (stems > 0.0 && expected > 0.0).then_some((stems, stems / expected))
    };
    let all: Vec<(&Plot, f64, f64)> = project
        .plots
        .iter()
        .filter_map(|plot| of_log(plot).map(|(stems, share)| (plot, stems, share)))
        .collect();
    for (plot, stems, share) in &all {
        let others: Vec<f64> =
            all.iter().filter(|(other, ..)| other.id != plot.id).map(|(.., share)| *share).collect();
        let number_of = others.len();
        let Some(usual) = median(others.clone()).filter(|_| number_of >= OTHERS) else { continue };
        let expected = stems * usual / share;
        let part = share / usual;
        let apart =
            !(HALF..=1.0 / HALF).contains(&part) && (expected - stems).abs() > ERRORS * expected.sqrt();
        if !apart || !others.iter().all(|other| USUAL.contains(&(other / usual))) {
            continue;
        }
        let kind = Surveyed::PlotApart {
            plot: plot.id.to_string().into(),
            stems: number(*stems, 0).into(),
            size: number(size(plot.shape), 1).into(),
            others: number_of,
            usual: number(expected, 0).into(),
        };
        let rows = project.tallies.iter().filter(|tally| tally.plot == plot.id).map(|tally| &tally.source);
        say_of(kind, rows, "alive", None, problems);
    }
}

#[allow(clippy::cast_precision_loss, reason = "no folder holds 2^53 stems")]
fn count(stems: u64) -> f64 {
    stems as f64
}
