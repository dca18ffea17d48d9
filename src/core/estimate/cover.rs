//! The share of the ground that a layer covers.

mod read;

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    estimate::{
        Estimate, Finding, Gap, Interval, Method,
        ground::Grounds,
        interval,
        ratio::Pair,
        round::to_date,
        stratified::{Stratified, Stratum, separate_ratio},
    },
    project::{AreaId, CoverClass, CoverMeasure, CoverReading, Layer, Period, Plot, PlotId, Project, slug},
    source::Sources,
    units::Share,
};

pub use read::{Way, Within, within_plot};

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
/// Classes are taken at their midpoints; the interval then reaches from the lower limit with every class at its lower edge to the
/// upper limit with every class at its upper edge, so that a change within a class is never taken for one.
///
/// # Equations and sources
/// [`Method::COVER`], [`Method::COVER_CLASSES`].
///
/// # Errors
/// Nothing was read.
pub fn cover(readings: &[&Reading<'_>], grounds: &Grounds<'_>, confidence: f64) -> Finding<Share> {
    let found = readings
        .iter()
        .filter_map(|reading| Some((&reading.plot.area, within_plot(&reading.readings)?)))
        .collect();
    let read = readings.iter().flat_map(|reading| reading.readings.iter().copied()).collect();
    joined(found, read, grounds, confidence)
}

/// Share that all covers together take that `holds` names, of the latest readings of `layer` in each plot. A plot in which the layer was
/// read and none of them was written down has none of them.
///
/// # Errors
/// No cover of that kind was read in any plot.
pub fn together(
    project: &Project,
    layer: Layer,
    holds: impl Fn(&str) -> bool,
    grounds: &Grounds<'_>,
    confidence: f64,
) -> Finding<Share> {
    let mut plots: BTreeMap<&PlotId, (&Plot, Vec<Within>)> = BTreeMap::new();
    let mut read: Vec<&CoverReading> = Vec::new();
    let mut any = false;
    for ((_, cover), readings) in latest(project, slug).into_iter().filter(|((of, _), _)| *of == layer) {
        let written = readings.first().and_then(|reading| reading.readings.first());
        let counts = written.map_or_else(|| holds(&cover), |reading| holds(&reading.cover));
        any |= counts;
        for reading in readings {
            let (_, taken) = plots.entry(&reading.plot.id).or_insert((reading.plot, Vec::new()));
            if counts {
                taken.extend(within_plot(&reading.readings));
                read.extend(reading.readings);
            }
        }
    }
    if !any {
        return Err(Gap::NoCover);
    }
    let sum = |taken: &[Within], part: fn(&Within) -> f64| {
        taken.iter().map(|one| part(one) / one.whole).sum::<f64>()
    };
    let found = plots.values().map(|(plot, taken)| {
        let [low, part, high] = [|one: &Within| one.low, |one: &Within| one.part, |one: &Within| one.high]
            .map(|of| sum(taken, of).min(1.0));
        (&plot.area, Within { way: Way::Mean, low, part, high, whole: 1.0 })
    });
    let found = joined(found.collect(), read, grounds, confidence)?;
    Ok(found
        .note("a plot in which the layer was read counts as having none of what was not written down there"))
}

/// What plots come to together: `found` in each of them, by `read`.
fn joined(
    found: Vec<(&AreaId, Within)>,
    read: Vec<&CoverReading>,
    grounds: &Grounds<'_>,
    confidence: f64,
) -> Finding<Share> {
    // Points and metres of line weigh as many as they are, where nothing else was read.
    let alike = found.first().is_some_and(|(_, first)| {
        first.way != Way::Mean && found.iter().all(|(_, plot)| plot.way == first.way)
    });
    let over = |part: fn(&Within) -> f64| {
        let mut areas: BTreeMap<&AreaId, Vec<Pair>> = BTreeMap::new();
        for (area, plot) in &found {
            let pair = match alike {
                true => Pair { part: part(plot), whole: plot.whole },
                false => Pair { part: part(plot) / plot.whole, whole: 1.0 },
            };
            areas.entry(area).or_default().push(pair);
        }
        let strata: Vec<Stratum> = areas
            .into_iter()
            .filter_map(|(area, plots)| {
                Some(Stratum { weight: grounds.get(area)?.plan.0, sampled: 0.0, plots })
            })
            .collect();
        separate_ratio(&strata)
    };
    let joint = over(|plot| plot.part).ok_or(Gap::NoCover)?;
    let classes = classes(&read);
    let ends = match classes.is_empty() {
        true => limits(&joint, confidence),
        false => over(|plot| plot.low).zip(over(|plot| plot.high)).and_then(|(low, high)| {
            // One plot can't show how plots differ, however narrow its class.
            (joint.plots > 1).then(|| {
                let least = limits(&low, confidence).map_or(low.value, |(low, _)| low);
                let most = limits(&high, confidence).map_or(high.value, |(_, high)| high);
                (least, most)
            })
        }),
    };
    let plots = if joint.plots == 1 { "plot" } else { "plots" };
    let mut notes = vec![format!("from {} {plots}", joint.plots)];
    if ends.is_none() {
        notes.push("the plots show no spread, so there is no interval".to_owned());
    }
    notes.extend(classes_said(&classes));
    Ok(Estimate {
        value: Share::nearest(joint.value),
        interval: ends.map(|(low, high)| Interval {
            low: Share::nearest(low),
            high: Share::nearest(high),
            confidence,
        }),
        method: if classes.is_empty() { Method::COVER } else { Method::COVER_CLASSES },
        sources: read.iter().map(|reading| &reading.source).collect::<Sources>(),
        notes,
    })
}

/// The limits of a joint ratio; `None` where its plots show no spread.
fn limits(joint: &Stratified, confidence: f64) -> Option<(f64, f64)> {
    let spread = joint.spread.filter(|spread| spread.variance > 0.0)?;
    Some(interval::symmetric_t(joint.value, spread.variance, spread.df, confidence))
}

/// The classes that were read, each once, from the least cover to the most.
fn classes<'a>(read: &[&'a CoverReading]) -> Vec<&'a CoverClass> {
    let mut classes: Vec<&CoverClass> = Vec::new();
    for reading in read {
        if let CoverMeasure::Class(class) = &reading.measure
            && !classes.contains(&&**class)
        {
            classes.push(class);
        }
    }
    classes.sort_by(|one, other| one.middle().total_cmp(&other.middle()).then(one.code.cmp(&other.code)));
    classes
}

/// What each class was taken for.
fn classes_said(classes: &[&CoverClass]) -> Option<String> {
    let first = classes.first()?;
    let each = |class: &&CoverClass| {
        format!("{} ({} to {} %) as {} %", class.code, class.low, class.high, class.middle())
    };
    let each: Vec<String> = classes.iter().map(each).collect();
    Some(format!("classes of {}, taken at their midpoints: {}", first.scale, each.join(", ")))
}
