//! Tagged trees that shrink, change their species or come back to life between two visits: two of them changed over, most often.

use std::collections::BTreeMap;

use crate::{
    intake::nearest::folded,
    problem::{Change, Place, Problem, SecondReading, Surveyed},
    project::{PlotId, Project, Stem, StemStatus},
    units::{day, number},
};

/// How much thinner a living stem may be found than before, as a part and in mm: tapes and callipers are laid a little higher or lower
/// (common practice, no source).
const THINNER: (f64, f64) = (0.10, 3.0);

/// How much lower, as a part and in metres: tops are browsed and break (common practice, no source).
const LOWER: (f64, f64) = (0.35, 0.5);

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let mut trees: BTreeMap<(&PlotId, String, Option<u32>), Vec<&Stem>> = BTreeMap::new();
    for stem in &project.stems {
        if let Some(tag) = &stem.tag {
            trees.entry((&stem.plot, folded(tag), stem.stem)).or_default().push(stem);
        }
    }
    for visits in trees.values_mut() {
        visits.sort_by_key(|stem| stem.date);
        for pair in visits.windows(2) {
            let [before, after] = pair else { continue };
            let Some((column, now, then)) = changed(before, after).filter(|_| before.date < after.date)
            else {
                continue;
            };
            let kind = Surveyed::TreeOtherThanBefore {
                tag: after.tag.as_deref().unwrap_or_default().into(),
                plot: after.plot.to_string().into(),
                now: now.into(),
                then: then.into(),
                before: day(before.date).into(),
            };
            let other = SecondReading::of(Change::LeftOut, [&after.source]);
            problems.push(Problem::new(kind, Place::row(&after.source).column(column)).or(other));
        }
    }
}

/// What can't be of one tree: the column, what it is now and what it was.
fn changed(before: &Stem, after: &Stem) -> Option<(&'static str, String, String)> {
    if before.species != after.species {
        return Some(("species", after.species.to_string(), before.species.to_string()));
    }
    if before.status == StemStatus::Dead && after.status == StemStatus::Alive {
        return Some(("status", "alive".to_owned(), "dead".to_owned()));
    }
    if before.status != StemStatus::Alive || after.status != StemStatus::Alive {
        return None;
    }
    let less = |was: f64, is: f64, (part, least): (f64, f64)| was - is > (part * was).max(least);
    let alike = before.diameter_at == after.diameter_at;
    match (before.diameter_mm.zip(after.diameter_mm), before.height.zip(after.height)) {
        (Some((was, is)), _) if alike && less(was, is, THINNER) => {
            Some(("diameter_mm", format!("{} mm thick", number(is, 0)), format!("{} mm", number(was, 0))))
        }
        (_, Some((was, is))) if less(was.0, is.0, LOWER) => {
            Some(("height_m", format!("{} m high", number(is.0, 2)), format!("{} m", number(was.0, 2))))
        }
        _ => None,
    }
}
