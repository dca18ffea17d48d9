//! Surveys that left out many of the plots that an earlier one went to.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::{
    problem::{Place, Plausibility, Problem},
    project::{PlotId, Project},
    units::span,
};

/// Days between two visits from which the later belongs to the next survey (common practice, no source).
const ONE_SURVEY: i64 = 31;

/// The part of the plots that a survey may leave out without a word (common practice, no source).
const LEFT_OUT: f64 = 0.4;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    // Days that are likely changed over have had their word.
    let swapped = Problem::swapped_rows(problems);
    let counted = project
        .tallies
        .iter()
        .filter(|tally| tally.date <= project.period.to && !swapped.contains(&tally.source));
    let mut days: BTreeMap<NaiveDate, BTreeSet<&PlotId>> = BTreeMap::new();
    for tally in counted {
        days.entry(tally.date).or_default().insert(&tally.plot);
    }
    let Some(&last) = days.keys().next_back() else { return };
    // The latest survey goes back as long as no month passes between two days.
    let mut first = last;
    for day in days.keys().rev() {
        if (first - *day).num_days() <= ONE_SURVEY {
            first = *day;
        }
    }
    let seen: BTreeSet<&PlotId> = days.range(first..).flat_map(|(_, plots)| plots.iter().copied()).collect();
    let before: BTreeSet<&PlotId> =
        days.range(..first).flat_map(|(_, plots)| plots.iter().copied()).collect();
    let again = before.intersection(&seen).count();
    let left_out: Vec<&&PlotId> = before.difference(&seen).collect();
    // A folder with plots of its own in each survey goes back to none by design.
    if again == 0 || (left_out.len() as f64) < LEFT_OUT * before.len() as f64 {
        return;
    }
    let kind = Plausibility::PlotsNotRevisited { of: before.len(), seen: again, when: span(first, last) };
    for plot in &project.plots {
        if left_out.iter().any(|id| **id == &plot.id) {
            problems.push(Problem::new(kind.clone(), Place::row(&plot.source).column("plot")));
        }
    }
}
