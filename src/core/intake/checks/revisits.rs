//! Surveys that left out plots that an earlier one went to, or that the list has.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::{
    problem::{Place, Plausibility, Problem},
    project::{Plot, PlotId, Project},
    units::span,
};

/// Days between two visits from which the later belongs to the next survey (common practice, no source).
const ONE_SURVEY: i64 = 31;

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
    // A folder with plots of its own in each survey goes back to none by design, one with a panel of them to a part.
    if again * 2 < seen.len() || left_out.is_empty() {
        return never(project, &before, &seen, problems);
    }
    let kind = Plausibility::PlotsNotRevisited { of: before.len(), seen: again, when: span(first, last) };
    for plot in &project.plots {
        if left_out.iter().any(|id| **id == &plot.id) {
            problems.push(Problem::new(kind.clone(), Place::row(&plot.source).column("plot")));
        }
    }
    never(project, &before, &seen, problems);
}

/// Plots of the list that no survey went to.
fn never(
    project: &Project,
    before: &BTreeSet<&PlotId>,
    seen: &BTreeSet<&PlotId>,
    problems: &mut Vec<Problem>,
) {
    let counted = |plot: &PlotId| before.contains(plot) || seen.contains(plot);
    let read = |plot: &PlotId| {
        project.cover.iter().any(|one| one.plot == *plot) || project.stems.iter().any(|one| one.plot == *plot)
    };
    let never: Vec<&Plot> = project.plots.iter().filter(|plot| !counted(&plot.id)).collect();
    // Where most were not, the list is one of plots to come.
    if never.len() * 2 > project.plots.len() {
        return;
    }
    let kind = Plausibility::PlotsNeverCounted { of: project.plots.len() };
    // Of an area without any counted plot a word of its own is said.
    let beside =
        |plot: &Plot| project.plots.iter().any(|other| other.area == plot.area && counted(&other.id));
    for plot in never.into_iter().filter(|plot| !read(&plot.id) && beside(plot)) {
        problems.push(Problem::new(kind.clone(), Place::row(&plot.source).column("plot")));
    }
}
