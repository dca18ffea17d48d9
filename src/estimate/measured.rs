//! The latest measurement of each plot.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::project::{Period, PlotId, Project, Stem};

/// Stems of the latest measurement of each plot within `window`, in the order of their rows.
pub fn within(project: &Project, window: Period) -> impl Iterator<Item = &Stem> {
    let mut days: BTreeMap<&PlotId, NaiveDate> = BTreeMap::new();
    for stem in project.stems.iter().filter(|stem| window.holds(stem.date)) {
        let day = days.entry(&stem.plot).or_insert(stem.date);
        *day = stem.date.max(*day);
    }
    project.stems.iter().filter(move |stem| days.get(&stem.plot) == Some(&stem.date))
}
