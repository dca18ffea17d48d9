//! The latest measurement of each plot.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::project::{Period, PlotId, Project, Stem};

/// The latest day within a time on which stems of each plot were measured.
pub type Days<'a> = BTreeMap<&'a PlotId, NaiveDate>;

/// The latest day within `window` on which stems of each plot were measured.
#[must_use]
pub fn days(project: &Project, window: Period) -> Days<'_> {
    let mut days = Days::new();
    let stems: Vec<&Stem> = project.stems.iter().filter(|stem| window.holds(stem.date)).collect();
    for run in stems.chunk_by(|one, next| one.plot == next.plot) {
        let last = run.iter().map(|stem| stem.date).max();
        let day = days.entry(&run[0].plot).or_insert(run[0].date);
        *day = last.unwrap_or(*day).max(*day);
    }
    days
}

/// Stems that were measured on `days`, in the order of their rows.
pub fn on<'a>(project: &'a Project, days: Days<'a>) -> impl Iterator<Item = &'a Stem> {
    // Stems stand plot by plot in most books: a day is looked for only where the plot changes.
    let mut here: Option<(&PlotId, Option<NaiveDate>)> = None;
    project.stems.iter().filter(move |stem| {
        let known = here.filter(|(plot, _)| *plot == &stem.plot);
        let (plot, day) = known.unwrap_or_else(|| (&stem.plot, days.get(&stem.plot).copied()));
        here = Some((plot, day));
        day == Some(stem.date)
    })
}

/// Stems of the latest measurement of each plot within `window`, in the order of their rows.
pub fn within(project: &Project, window: Period) -> impl Iterator<Item = &Stem> {
    on(project, days(project, window))
}
