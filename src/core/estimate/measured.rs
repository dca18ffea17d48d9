//! What a round of survey measured.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::project::{Period, PlotId, Project, SpeciesId, Stem};

/// The last day within a time on which stems of each plot were measured.
pub type Days<'a> = BTreeMap<&'a PlotId, NaiveDate>;

/// The last day of the round `window` on which stems of each plot were measured.
#[must_use]
pub fn days(project: &Project, window: Period) -> Days<'_> {
    spans(project, window).into_iter().map(|(plot, span)| (plot, span.to)).collect()
}

/// The first and the last day of each plot.
fn spans(project: &Project, window: Period) -> BTreeMap<&PlotId, Period> {
    let mut spans: BTreeMap<&PlotId, Period> = BTreeMap::new();
    for run in runs(project) {
        for day in run.iter().map(|stem| stem.date).filter(|&day| window.holds(day)) {
            let span = spans.entry(&run[0].plot).or_insert(Period { from: day, to: day });
            *span = Period { from: span.from.min(day), to: span.to.max(day) };
        }
    }
    spans
}

/// Stems of one plot that stand together, as they do in most books: what is known of a plot is looked for once for all of them.
fn runs(project: &Project) -> impl Iterator<Item = &[Stem]> {
    project.stems.chunk_by(|one, next| one.plot == next.plot)
}

/// What is measured once in a round: a tree with its tag, or the trees of a species that bear none.
type Measured<'a> = (&'a PlotId, &'a SpeciesId, Option<&'a str>);

fn key(stem: &Stem) -> Measured<'_> {
    (&stem.plot, &stem.species, stem.tag.as_deref())
}

/// Stems that the round `window` measured, in the order of their rows: of all its days, a tree that was measured twice as it was
/// measured last, and so the trees of a species without tags.
pub fn within(project: &Project, window: Period) -> impl Iterator<Item = &Stem> {
    // Most plots are measured on one day, and nothing need be looked up for their stems.
    let spans = spans(project, window).into_iter().filter(|(_, span)| span.from < span.to);
    let several: BTreeSet<&PlotId> = spans.map(|(plot, _)| plot).collect();
    let mut last: BTreeMap<Measured<'_>, NaiveDate> = BTreeMap::new();
    for stem in project.stems.iter().filter(|stem| window.holds(stem.date)) {
        if !several.is_empty() && several.contains(&stem.plot) {
            let day = last.entry(key(stem)).or_insert(stem.date);
            *day = stem.date.max(*day);
        }
    }
    let stems = project.stems.iter().filter(move |stem| window.holds(stem.date));
    stems.filter(move |stem| last.is_empty() || last.get(&key(stem)).is_none_or(|&day| day == stem.date))
}
