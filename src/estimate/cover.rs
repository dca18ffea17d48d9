//! The share of the ground that a layer covers.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    estimate::{
        Estimate, Finding, Gap, Interval, Method,
        ground::Grounds,
        interval,
        ratio::{Pair, count},
        round::to_date,
        stratified::{Stratum, separate_ratio},
    },
    project::{AreaId, CoverMeasure, CoverReading, Layer, Period, Plot, PlotId, Project},
    source::Sources,
    units::Share,
};

/// The latest readings of one layer in one plot.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading<'a> {
    /// The plot.
    pub plot: &'a Plot,
    /// Readings of one cover on that day.
    pub readings: Vec<&'a CoverReading>,
}

/// A layer and what covers it, as a key that does not care for case or space.
pub type Key = (Layer, String);

/// Latest readings by layer and cover, `name` making one name of the ways in which a cover is written.
#[must_use]
pub fn latest(project: &Project, name: fn(&str) -> String) -> BTreeMap<Key, Vec<Reading<'_>>> {
    within(project, to_date(project), name)
}

/// The latest readings of each plot within `window`, sorted in the same way.
#[must_use]
pub fn within(
    project: &Project,
    window: Period,
    name: fn(&str) -> String,
) -> BTreeMap<Key, Vec<Reading<'_>>> {
    let mut days: BTreeMap<(&PlotId, Layer), NaiveDate> = BTreeMap::new();
    let readings = || project.cover.iter().filter(|reading| window.holds(reading.date));
    for reading in readings() {
        let day = days.entry((&reading.plot, reading.layer)).or_insert(reading.date);
        *day = reading.date.max(*day);
    }
    let plots: BTreeMap<&PlotId, &Plot> = project.plots.iter().map(|plot| (&plot.id, plot)).collect();
    let mut sorted: BTreeMap<Key, BTreeMap<&PlotId, Reading<'_>>> = BTreeMap::new();
    for reading in readings() {
        let latest = days.get(&(&reading.plot, reading.layer)) == Some(&reading.date);
        let (true, Some(&plot)) = (latest, plots.get(&reading.plot)) else { continue };
        let of_cover = sorted.entry((reading.layer, name(&reading.cover))).or_default();
        let of_plot = of_cover.entry(&plot.id).or_insert_with(|| Reading { plot, readings: Vec::new() });
        of_plot.readings.push(reading);
    }
    sorted.into_iter().map(|(key, plots)| (key, plots.into_values().collect())).collect()
}

/// Share covered over `readings`; several areas are weighted by their plan hectares.
///
/// # Equations and sources
/// [`Method::Cover`].
///
/// # Errors
/// Nothing was read.
pub fn cover(readings: &[&Reading<'_>], grounds: &Grounds<'_>, confidence: f64) -> Finding<Share> {
    let mut areas: BTreeMap<&AreaId, Vec<Pair>> = BTreeMap::new();
    let by_points = readings.iter().all(|reading| points(reading).is_some());
    for reading in readings {
        let pair = if by_points { points(reading) } else { mean(reading) };
        areas.entry(&reading.plot.area).or_default().extend(pair);
    }
    let strata: Vec<Stratum> = areas
        .into_iter()
        .filter_map(|(area, plots)| Some(Stratum { weight: grounds.get(area)?.plan.0, sampled: 0.0, plots }))
        .collect();
    let joint = separate_ratio(&strata).ok_or(Gap::NoCover)?;
    let ends = joint
        .spread
        .filter(|spread| spread.variance > 0.0)
        .map(|spread| interval::symmetric_t(joint.value, spread.variance, spread.df, confidence));
    let rows = readings.iter().flat_map(|reading| reading.readings.iter().map(|reading| &reading.source));
    let plots = if joint.plots == 1 { "plot" } else { "plots" };
    let mut notes = vec![format!("from {} {plots}", joint.plots)];
    if ends.is_none() {
        notes.push("the plots show no spread, so there is no interval".to_owned());
    }
    Ok(Estimate {
        value: Share::nearest(joint.value),
        interval: ends.map(|(low, high)| Interval {
            low: Share::nearest(low),
            high: Share::nearest(high),
            confidence,
        }),
        method: Method::Cover,
        sources: rows.collect::<Sources>(),
        notes,
    })
}

/// Hits and points of a plot, where all of it was read by points.
fn points(reading: &Reading<'_>) -> Option<Pair> {
    let mut sum = Pair { part: 0.0, whole: 0.0 };
    for reading in &reading.readings {
        let CoverMeasure::Hits { hits, points } = reading.measure else { return None };
        sum.part += f64::from(hits);
        sum.whole += f64::from(points);
    }
    (sum.whole > 0.0).then_some(sum)
}

/// The mean share of a plot's readings.
fn mean(reading: &Reading<'_>) -> Option<Pair> {
    let share = |reading: &&CoverReading| match reading.measure {
        CoverMeasure::Percent(percent) => percent / 100.0,
        CoverMeasure::Hits { points: 0, .. } => 0.0,
        CoverMeasure::Hits { hits, points } => f64::from(hits) / f64::from(points),
    };
    let sum: f64 = reading.readings.iter().map(share).sum();
    (!reading.readings.is_empty()).then(|| Pair { part: sum / count(reading.readings.len()), whole: 1.0 })
}
