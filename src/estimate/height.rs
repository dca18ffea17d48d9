//! Median heights.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    estimate::{Estimate, Finding, Gap, Interval, Method, interval},
    project::{PlotId, Project, SpeciesId, Stem, StemStatus},
    source::{Row, Sources},
    units::{Metres, whole},
};

/// Heights of one species and the rows that say so.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Heights<'a> {
    metres: Vec<f64>,
    rows: Vec<&'a Row>,
}

/// Heights of living stems at the latest measurement of each plot up to the period's end, by species, in one walk.
///
/// Rows of one tag in one plot are stems of one tree, whose height is that of the tallest.
#[must_use]
pub fn latest(project: &Project) -> BTreeMap<&SpeciesId, Heights<'_>> {
    let to_date = || project.stems.iter().filter(|stem| stem.date <= project.period.to);
    let mut days: BTreeMap<&PlotId, NaiveDate> = BTreeMap::new();
    for stem in to_date() {
        let day = days.entry(&stem.plot).or_insert(stem.date);
        *day = stem.date.max(*day);
    }
    let mut trees: BTreeMap<(&PlotId, &SpeciesId, &str), f64> = BTreeMap::new();
    let mut heights: BTreeMap<&SpeciesId, Heights<'_>> = BTreeMap::new();
    for stem in to_date().filter(|stem| days.get(&stem.plot) == Some(&stem.date)) {
        let Some(height) = living(stem) else { continue };
        let of_species = heights.entry(&stem.species).or_default();
        match &stem.tag {
            Some(tag) => {
                let tallest = trees.entry((&stem.plot, &stem.species, tag)).or_insert(height);
                *tallest = tallest.max(height);
            }
            // Without a tag, further stems of a tree can't be told from another tree's.
            None if stem.stem.is_some_and(|number| number > 1) => continue,
            None => of_species.metres.push(height),
        }
        of_species.rows.push(&stem.source);
    }
    for ((_, species, _), height) in trees {
        heights.entry(species).or_default().metres.push(height);
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
    let mut sorted = heights.metres.clone();
    sorted.sort_unstable_by(f64::total_cmp);
    let n = sorted.len();
    let (Some(&low), Some(&high)) = (sorted.get(n.saturating_sub(1) / 2), sorted.get(n / 2)) else {
        return Err(Gap::NoHeights);
    };
    let ends = interval::median_ranks(n, confidence)
        .and_then(|(first, last)| Some((*sorted.get(first - 1)?, *sorted.get(last - 1)?)));
    let trees = if n == 1 { "tree" } else { "trees" };
    let mut notes = vec![format!("from {} {trees}", whole(n as u64))];
    if ends.is_none() {
        notes.push("too few for an interval at this confidence".to_owned());
    }
    Ok(Estimate {
        value: Metres(f64::midpoint(low, high)),
        interval: ends.map(|(low, high)| Interval { low: Metres(low), high: Metres(high), confidence }),
        method: Method::Median,
        sources: heights.rows.iter().copied().collect::<Sources>(),
        notes,
    })
}
