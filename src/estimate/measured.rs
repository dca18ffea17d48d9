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
    for stem in project.stems.iter().filter(|stem| window.holds(stem.date)) {
        let day = days.entry(&stem.plot).or_insert(stem.date);
        *day = stem.date.max(*day);
    }
    days
}

/// Stems that were measured on `days`, in the order of their rows.
pub fn on<'a>(project: &'a Project, days: Days<'a>) -> impl Iterator<Item = &'a Stem> {
    project.stems.iter().filter(move |stem| days.get(&stem.plot) == Some(&stem.date))
}

/// Stems of the latest measurement of each plot within `window`, in the order of their rows.
pub fn within(project: &Project, window: Period) -> impl Iterator<Item = &Stem> {
    on(project, days(project, window))
}
