//! Planted stems that come back to life: more alive in a plot than at its visit before, with nothing planted between.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    intake::checks::areas_of_plots,
    problem::{Place, Plausibility, Problem},
    project::{PlotId, Project, Tally},
    units::day,
};

/// Stems by which two counts of one plot may differ without a word (common practice, no source).
const MISCOUNT: u64 = 1;

#[derive(Default)]
struct Visit<'a> {
    alive: u64,
    missing: u64,
    last: Option<&'a Tally>,
}

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let areas = areas_of_plots(project);
    let mut plots: BTreeMap<&PlotId, BTreeMap<NaiveDate, Visit<'_>>> = BTreeMap::new();
    for tally in &project.tallies {
        let visit = plots.entry(&tally.plot).or_default().entry(tally.date).or_default();
        visit.alive += tally.alive.0;
        visit.missing += tally.missing.map_or(0, |stems| stems.0);
        visit.last = Some(tally);
    }
    for (plot, visits) in plots {
        let Some(area) = areas.get(plot) else { continue };
        let planted_between = |from: NaiveDate, to: NaiveDate| {
            project.plantings.iter().any(|row| &row.area == *area && row.date >= from && row.date <= to)
        };
        for ((before, earlier), (date, later)) in visits.iter().zip(visits.iter().skip(1)) {
            // A stem that was missing may be found again.
            let explained = earlier.alive + earlier.missing + MISCOUNT;
            let Some(last) = later.last else { continue };
            // More than were set is told as that.
            let beyond =
                project.plot(plot).and_then(|plot| plot.planted_stems).is_some_and(|set| later.alive > set.0);
            if !beyond && later.alive > explained && !planted_between(*before, *date) {
                let kind = Plausibility::SurvivalRises {
                    plot: plot.to_string(),
                    later: later.alive,
                    day: day(*date),
                    earlier: earlier.alive,
                    before: day(*before),
                    area: area.to_string(),
                    missing: earlier.missing,
                };
                problems.push(Problem::new(kind, Place::row(&last.source).column("alive")));
            }
        }
    }
}
