//! The share of the ground that a layer covers.

mod read;

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::{
    estimate::{
        Estimate, Finding, Gap, Interval, Method,
        ground::Grounds,
        interval::clustered::{Limits, of_ground},
        ratio::Pair,
        strata::{self, By, Strata},
        stratified::{Stratum, separate_ratio},
    },
    project::{AreaId, CoverClass, CoverMeasure, CoverReading, Layer, Period, Plot, PlotId, Project, slug},
    source::{Row, Sources},
    units::Share,
};

pub use read::{Way, Within, within_plot};

/// What one round read of one cover in one plot.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading<'a> {
    /// The plot.
    pub plot: &'a Plot,
    /// Its readings; none where the plot has nothing of the cover.
    pub readings: Vec<&'a CoverReading>,
}

/// A layer and what covers it, as a key that does not care for case or space.
pub type Key = (Layer, String);

/// What one round read of one cover.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Covered<'a> {
    /// The plots that tell of it.
    pub read: Vec<Reading<'a>>,
    /// Plots of the round of which the sheet doesn't tell whether they have none or were not read.
    pub untold: Vec<&'a Plot>,
}

impl<'a> Covered<'a> {
    /// The same in the plots of which `holds` is true.
    #[must_use]
    pub fn within(&self, holds: impl Fn(&AreaId) -> bool) -> Covered<'a> {
        let read = self.read.iter().filter(|reading| holds(&reading.plot.area)).cloned();
        let untold = self.untold.iter().copied().filter(|plot| holds(&plot.area));
        Covered { read: read.collect(), untold: untold.collect() }
    }
}

/// Every cover that was read up to the period's end, and its name as it was first written.
#[must_use]
pub fn names(project: &Project, name: fn(&str) -> String) -> BTreeMap<Key, &str> {
    let mut names = BTreeMap::new();
    for reading in project.cover.iter().filter(|reading| reading.date <= project.period.to) {
        names.entry((reading.layer, name(&reading.cover))).or_insert(reading.cover.trim());
    }
    names
}

/// What the round `window` read, by layer and cover, `name` making one name of the ways in which a cover is written.
///
/// Of all days of the round, a cover that was read twice in a plot as it was read last. A plot without a row for a cover has none of
/// it where its layer was read and the sheets write no noughts for that layer; elsewhere it is untold.
#[must_use]
pub fn within(project: &Project, window: Period, name: fn(&str) -> String) -> BTreeMap<Key, Covered<'_>> {
    let plots: BTreeMap<&PlotId, &Plot> = project.plots.iter().map(|plot| (&plot.id, plot)).collect();
    let noughts = project.layers_with_noughts(window.to);
    let mut sorted: BTreeMap<Key, BTreeMap<&PlotId, Vec<&CoverReading>>> = BTreeMap::new();
    let mut layers: BTreeMap<Layer, BTreeSet<&PlotId>> = BTreeMap::new();
    let mut visited: BTreeSet<&PlotId> = BTreeSet::new();
    for reading in project.cover.iter().filter(|reading| reading.date <= window.to) {
        let of_cover = sorted.entry((reading.layer, name(&reading.cover))).or_default();
        if window.holds(reading.date) && plots.contains_key(&reading.plot) {
            of_cover.entry(&reading.plot).or_default().push(reading);
            layers.entry(reading.layer).or_default().insert(&reading.plot);
            visited.insert(&reading.plot);
        }
    }
    let mut found = BTreeMap::new();
    for ((layer, cover), mut of_cover) in sorted {
        let Some(of_layer) = layers.get(&layer) else { continue };
        let mut covered = Covered::default();
        for id in &visited {
            let Some(&plot) = plots.get(id) else { continue };
            match of_cover.remove(id) {
                Some(readings) => covered.read.push(Reading { plot, readings: last(readings) }),
                None if of_layer.contains(id) && !noughts.contains(&layer) => {
                    covered.read.push(Reading { plot, readings: Vec::new() });
                }
                None => covered.untold.push(plot),
            }
        }
        found.insert((layer, cover), covered);
    }
    found
}

/// The readings of the last day among `readings`, of each line by itself.
fn last(mut readings: Vec<&CoverReading>) -> Vec<&CoverReading> {
    let line = |reading: &CoverReading| match &reading.measure {
        CoverMeasure::Intercept { name, .. } => name.clone(),
        _ => None,
    };
    let mut days: BTreeMap<_, NaiveDate> = BTreeMap::new();
    for reading in &readings {
        let day = days.entry(line(reading)).or_insert(reading.date);
        *day = reading.date.max(*day);
    }
    readings.retain(|reading| days.get(&line(reading)) == Some(&reading.date));
    readings
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
pub fn cover(readings: &[Reading<'_>], grounds: &Grounds<'_>, confidence: f64) -> Finding<Share> {
    let some: Vec<Within> = readings.iter().filter_map(|reading| within_plot(&reading.readings)).collect();
    let nought = Within::nought(&some);
    let found = readings.iter().map(|reading| {
        let within = within_plot(&reading.readings).unwrap_or(nought);
        (reading.plot, within)
    });
    let read: Vec<&CoverReading> =
        readings.iter().flat_map(|reading| reading.readings.iter().copied()).collect();
    let empty: Vec<&Row> = readings
        .iter()
        .filter(|reading| reading.readings.is_empty())
        .map(|reading| &reading.plot.source)
        .collect();
    let mut cover = joined(found.collect(), read, grounds, confidence)?;
    if !empty.is_empty() {
        cover.notes.push(format!(
            "{} without a row taken as having none, since the sheet has other rows of the layer there and writes no noughts",
            if empty.len() == 1 { "1 plot".to_owned() } else { format!("{} plots", empty.len()) }
        ));
        empty.into_iter().for_each(|row| cover.sources.add(row));
    }
    Ok(cover)
}

/// Share that all covers together take that `holds` names, at the latest round that read `layer`. A plot in which the layer was read and
/// none of them was written down has none of them.
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
    let round = project.latest_read(|reading| reading.layer == layer).ok_or(Gap::NoCover)?;
    for ((_, cover), covered) in within(project, round, slug).into_iter().filter(|((of, _), _)| *of == layer)
    {
        let written = covered.read.iter().find_map(|reading| reading.readings.first());
        let counts = written.map_or_else(|| holds(&cover), |reading| holds(&reading.cover));
        any |= counts;
        for reading in covered.read {
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
        (*plot, Within { way: Way::Mean, low, part, high, whole: 1.0 })
    });
    let found = joined(found.collect(), read, grounds, confidence)?;
    Ok(found
        .note("a plot in which the layer was read counts as having none of what was not written down there"))
}

/// What plots come to together: `found` in each of them, by `read`.
fn joined(
    found: Vec<(&Plot, Within)>,
    read: Vec<&CoverReading>,
    grounds: &Grounds<'_>,
    confidence: f64,
) -> Finding<Share> {
    // Points and metres of line weigh as many as they are, where nothing else was read.
    let alike = found.first().is_some_and(|(_, first)| {
        first.way != Way::Mean && found.iter().all(|(_, plot)| plot.way == first.way)
    });
    let parts = Strata::of(found.iter().map(|(plot, _)| *plot), By::Ground);
    let over = |part: fn(&Within) -> f64| {
        let mut strata: BTreeMap<strata::Key<'_>, Vec<Pair>> = BTreeMap::new();
        for (place, plot) in &found {
            let pair = match alike {
                true => Pair { part: part(plot), whole: plot.whole },
                false => Pair { part: part(plot) / plot.whole, whole: 1.0 },
            };
            strata.entry(parts.key(place)).or_default().push(pair);
        }
        let stratum = |(key, plots): (strata::Key<'_>, Vec<Pair>)| {
            let weight = grounds.get(key.0)?.plan.0 * parts.share(&key);
            Some(Stratum { weight, sampled: 0.0, plots })
        };
        let strata: Vec<Stratum> = strata.into_iter().filter_map(stratum).collect();
        separate_ratio(&strata)
    };
    let joint = over(|plot| plot.part).ok_or(Gap::NoCover)?;
    let classes = classes(&read);
    let limits = match classes.is_empty() {
        true => of_ground(&joint, confidence),
        false => over(|plot| plot.low).zip(over(|plot| plot.high)).and_then(|(low, high)| {
            let (least, most) = (of_ground(&low, confidence)?, of_ground(&high, confidence)?);
            let of = |limits: fn(&Limits) -> (f64, f64)| (limits(&least).0, limits(&most).1);
            Some(Limits { interval: of(|limits| limits.interval), cautious: of(|limits| limits.cautious) })
        }),
    };
    let plots = if joint.plots == 1 { "plot" } else { "plots" };
    let mut notes = vec![format!("from {} {plots}", joint.plots)];
    if limits.is_none() {
        notes.push("one plot only, so there is no interval".to_owned());
    }
    notes.extend(classes_said(&classes));
    notes.extend(parts.note());
    Ok(Estimate {
        value: Share::nearest(joint.value),
        interval: limits.map(|limits| shares(limits.interval, confidence)),
        sample: None,
        cautious: limits.map(|limits| shares(limits.cautious, confidence)),
        method: if classes.is_empty() { Method::COVER } else { Method::COVER_CLASSES },
        sources: read.iter().map(|reading| &reading.source).collect::<Sources>(),
        notes,
    })
}

fn shares((low, high): (f64, f64), confidence: f64) -> Interval<Share> {
    Interval { low: Share::nearest(low), high: Share::nearest(high), confidence }
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
