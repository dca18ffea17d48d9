//! Median heights.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    estimate::{Estimate, Finding, Gap, Interval, Method, interval, round::to_date},
    project::{Period, PlotId, Project, SpeciesId, Stem, StemStatus},
    source::{Row, Sources},
    units::{Metres, whole},
};

/// Heights of one species, or of another kind of tree, and the rows that say so.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Heights<'a> {
    metres: Vec<f64>,
    rows: Vec<&'a Row>,
}

/// Heights of living stems at the latest measurement of each plot up to the period's end, by species.
#[must_use]
pub fn latest(project: &Project) -> BTreeMap<&SpeciesId, Heights<'_>> {
    within(project, to_date(project), |stem| Some(&stem.species))
}

/// Heights of living stems at the latest measurement of each plot within `window`, by what `of` tells of a stem, in one walk.
///
/// Rows of one tag in one plot are stems of one tree, whose height is that of the tallest.
#[must_use]
pub fn within<'a, K: Ord + Copy>(
    project: &'a Project,
    window: Period,
    of: impl Fn(&'a Stem) -> Option<K>,
) -> BTreeMap<K, Heights<'a>> {
    let measured = || project.stems.iter().filter(|stem| window.holds(stem.date));
    let mut days: BTreeMap<&PlotId, NaiveDate> = BTreeMap::new();
    for stem in measured() {
        let day = days.entry(&stem.plot).or_insert(stem.date);
        *day = stem.date.max(*day);
    }
    let mut trees: BTreeMap<(&PlotId, &SpeciesId, &str), (K, f64)> = BTreeMap::new();
    let mut heights: BTreeMap<K, Heights<'_>> = BTreeMap::new();
    for stem in measured().filter(|stem| days.get(&stem.plot) == Some(&stem.date)) {
        let Some((key, height)) = of(stem).zip(living(stem)) else { continue };
        let of_key = heights.entry(key).or_default();
        match &stem.tag {
            Some(tag) => {
                let (_, tallest) = trees.entry((&stem.plot, &stem.species, tag)).or_insert((key, height));
                *tallest = tallest.max(height);
            }
            // Without a tag, further stems of a tree can't be told from another tree's.
            None if stem.stem.is_some_and(|number| number > 1) => continue,
            None => of_key.metres.push(height),
        }
        of_key.rows.push(&stem.source);
    }
    for (key, height) in trees.into_values() {
        heights.entry(key).or_default().metres.push(height);
    }
    heights
}

fn living(stem: &Stem) -> Option<f64> {
    (stem.status == StemStatus::Alive).then_some(stem.height)?.map(|height| height.0)
}

/// Median of `heights`.
///
/// # Equations and sources
/// [`Method::Median`].
///
/// # Errors
/// No height was measured.
pub fn median(heights: &Heights<'_>, confidence: f64) -> Finding<Metres> {
    let middle = middle(&heights.metres, confidence).ok_or(Gap::NoHeights)?;
    let ends =
        middle.interval.map(|(low, high)| Interval { low: Metres(low), high: Metres(high), confidence });
    Ok(Estimate {
        value: Metres(middle.value),
        interval: ends,
        method: Method::Median,
        sources: heights.rows.iter().copied().collect::<Sources>(),
        notes: middle.notes,
    })
}

/// A median, its interval and what is to be said of it.
pub(crate) struct Middle {
    pub(crate) value: f64,
    pub(crate) interval: Option<(f64, f64)>,
    pub(crate) notes: Vec<String>,
}

/// The median of `values`, one of each tree; `None` where there are none.
pub(crate) fn middle(values: &[f64], confidence: f64) -> Option<Middle> {
    let mut sorted = values.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    let n = sorted.len();
    let (low, high) = (*sorted.get(n.saturating_sub(1) / 2)?, *sorted.get(n / 2)?);
    let interval = interval::median_ranks(n, confidence)
        .and_then(|(first, last)| Some((*sorted.get(first - 1)?, *sorted.get(last - 1)?)));
    let trees = if n == 1 { "tree" } else { "trees" };
    let mut notes = vec![format!("from {} {trees}", whole(n as u64))];
    if interval.is_none() {
        notes.push("too few for an interval at this confidence".to_owned());
    }
    Some(Middle { value: f64::midpoint(low, high), interval, notes })
}
