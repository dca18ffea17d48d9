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
    for run in runs(project) {
        let within = run.iter().map(|stem| stem.date).filter(|&date| window.holds(date));
        if let Some(last) = within.max() {
            let day = days.entry(&run[0].plot).or_insert(last);
            *day = last.max(*day);
        }
    }
    days
}

/// Stems of one plot that stand together, as they do in most books: what is known of a plot is looked for once for all of them.
fn runs(project: &Project) -> impl Iterator<Item = &[Stem]> {
    project.stems.chunk_by(|one, next| one.plot == next.plot)
}

/// Stems that were measured on `days`, in the order of their rows.
pub fn on<'a>(project: &'a Project, days: Days<'a>) -> impl Iterator<Item = &'a Stem> {
    runs(project).flat_map(move |run| {
        let day = days.get(&run[0].plot).copied();
        run.iter().filter(move |stem| day == Some(stem.date))
    })
}

/// Stems of the latest measurement of each plot within `window`, in the order of their rows.
pub fn within(project: &Project, window: Period) -> impl Iterator<Item = &Stem> {
    on(project, days(project, window))
}
