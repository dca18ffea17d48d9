//! Stems on a plan hectare, from plots.

use std::collections::BTreeMap;

use crate::{
    estimate::{
        Estimate, Finding, Gap, Interval, Method,
        ground::{Grounds, plan_area},
        interval,
        ratio::Pair,
        strata::{By, Key, Strata},
        stratified::{Stratified, Stratum, separate_ratio},
        visit::Visit,
    },
    project::MeasuredOn,
    source::Sources,
    units::{Hectares, StemsPerHectare, whole},
};

/// Sampling less than this part of an area is taken as sampling next to nothing (Cochran 1977, section 2.6).
pub(crate) const SMALL_SAMPLE: f64 = 0.05;

/// How much more or less than an area its plots may come to and still be all of it: plots are laid out by tape.
const WHOLE: f64 = 0.02;

/// The part of `area` that plots of `plots` hectares hold: nothing where it is small, or where they are larger than the area, which tells
/// of a mistake in the one or the other; all of it only where they cover it.
pub(crate) fn part_sampled(plots: f64, area: f64) -> f64 {
    let part = plots / area;
    match part {
        part if (part - 1.0).abs() <= WHOLE => 1.0,
        part if !(SMALL_SAMPLE..=1.0).contains(&part) => 0.0,
        part => part,
    }
}

/// Which stems are counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Counted {
    /// Everything alive: planted and self-sown.
    Living,
    /// Planted stems only.
    Planted,
    /// Self-sown stems only.
    Recruits,
}

/// Stems on a plan hectare over `visits`; several areas are weighted by their plan hectares.
///
/// # Equations and sources
/// [`Method::DENSITY`] and [`Method::DENSITY_CENSUS`].
///
/// # Errors
/// No plot was surveyed, no plot has a size, or self-sown stems were not recorded.
pub fn density(
    visits: &[&Visit<'_>],
    grounds: &Grounds<'_>,
    counted: Counted,
    confidence: f64,
) -> Finding<StemsPerHectare> {
    if visits.is_empty() {
        return Err(Gap::NotSurveyed);
    }
    let counts = counts(visits, grounds, counted);
    if counts.is_empty() {
        return Err(Gap::RecruitsNotRecorded);
    }
    let joint = separate_ratio(&strata(&counts, grounds)).ok_or(Gap::NoPlotArea)?;
    let (method, ends) = interval_of(&joint, counted, confidence);
    let rows = counts.iter().flat_map(|count| {
        count.visit.tallies.iter().map(|tally| &tally.source).chain([&count.visit.plot.source])
    });
    Ok(Estimate {
        value: StemsPerHectare(joint.value),
        interval: ends.map(|(low, high)| Interval {
            low: StemsPerHectare(low.max(0.0)),
            high: StemsPerHectare(high),
            confidence,
        }),
        sample: None,
        cautious: None,
        method,
        sources: rows.collect::<Sources>(),
        notes: notes(&joint, visits, &counts, grounds, counted),
    })
}

/// What [`density`] rests on: the areas, put together; `None` where it can't be had.
#[must_use]
pub fn joint(visits: &[&Visit<'_>], grounds: &Grounds<'_>, counted: Counted) -> Option<Stratified> {
    let counts = counts(visits, grounds, counted);
    separate_ratio(&strata(&counts, grounds))
}

/// Stems in a plot and its plan hectares.
struct Count<'a> {
    visit: &'a Visit<'a>,
    stems: f64,
    hectares: f64,
    /// Self-sown stems were not recorded in one of its rows.
    silent: bool,
    /// Nothing of self-sown stems was written, and so none is taken to stand there.
    taken: bool,
}

/// What was counted in each plot. A plot without a word of self-sown stems has none where others of its round have some and none has
/// a nought; else it was not looked at for them, and is left out.
fn counts<'a>(visits: &'a [&Visit<'_>], grounds: &Grounds<'_>, counted: Counted) -> Vec<Count<'a>> {
    let sown = || visits.iter().flat_map(|visit| visit.tallies.iter().filter_map(|tally| tally.recruits));
    let only_where_seen = sown().next().is_some() && sown().all(|stems| stems.0 > 0);
    visits.iter().filter_map(|visit| count(visit, grounds, counted, only_where_seen)).collect()
}

#[allow(clippy::cast_precision_loss, reason = "no folder holds 2^53 stems")]
fn count<'a>(
    visit: &'a Visit<'a>,
    grounds: &Grounds<'_>,
    counted: Counted,
    only_where_seen: bool,
) -> Option<Count<'a>> {
    let alive: u64 = visit.tallies.iter().map(|tally| tally.alive.0).sum();
    let mut sown = visit.tallies.iter().filter_map(|tally| tally.recruits).peekable();
    let recorded = only_where_seen || sown.peek().is_some();
    let recruits: u64 = sown.map(|stems| stems.0).sum();
    let slope = grounds.slope_of(visit.plot);
    let stems = match counted {
        Counted::Living => alive + recruits,
        Counted::Planted => alive,
        Counted::Recruits if recorded => recruits,
        Counted::Recruits => return None,
    };
    let hectares = Hectares::from(plan_area(visit.plot, slope)).0;
    let silent = !only_where_seen && visit.tallies.iter().any(|tally| tally.recruits.is_none());
    let taken = only_where_seen && visit.tallies.iter().all(|tally| tally.recruits.is_none());
    Some(Count { visit, stems: stems as f64, hectares, silent, taken })
}

fn strata(counts: &[Count<'_>], grounds: &Grounds<'_>) -> Vec<Stratum> {
    let parts = parts(counts);
    let mut strata: BTreeMap<Key<'_>, Vec<Pair>> = BTreeMap::new();
    for count in counts {
        let pair = Pair { part: count.stems, whole: count.hectares };
        strata.entry(parts.key(count.visit.plot)).or_default().push(pair);
    }
    let stratum = |(key, plots): (Key<'_>, Vec<Pair>)| {
        let weight = grounds.get(key.0)?.plan.0 * parts.share(&key);
        let sampled = part_sampled(plots.iter().map(|plot| plot.whole).sum(), weight);
        Some(Stratum { weight, sampled, plots })
    };
    strata.into_iter().filter_map(stratum).collect()
}

fn parts<'a>(counts: &[Count<'a>]) -> Strata<'a> {
    Strata::of(counts.iter().map(|count| count.visit.plot), By::Ground)
}

fn interval_of(joint: &Stratified, counted: Counted, confidence: f64) -> (Method, Option<(f64, f64)>) {
    if joint.census {
        return (Method::DENSITY_CENSUS, None);
    }
    let clumping = match counted {
        Counted::Living | Counted::Planted => interval::Clumping::STEMS,
        Counted::Recruits => interval::Clumping::RECRUITS,
    };
    (Method::DENSITY, interval::density(joint, clumping, confidence))
}

fn notes(
    joint: &Stratified,
    visits: &[&Visit<'_>],
    counts: &[Count<'_>],
    grounds: &Grounds<'_>,
    counted: Counted,
) -> Vec<String> {
    let square_metres: f64 = counts.iter().map(|count| count.hectares * 10_000.0).sum();
    let plots = if joint.plots == 1 { "plot" } else { "plots" };
    let mut notes = vec![format!(
        "from {} {plots} with {} m² of plan area",
        joint.plots,
        crate::units::number(square_metres, 0)
    )];
    if joint.spread.is_none() && !joint.census {
        notes.push("one plot only, so there is no interval".to_owned());
    }
    notes.extend(parts(counts).note());
    let silent = counts.iter().filter(|count| count.silent).count();
    let unused = visits.len() - counts.len();
    if counted == Counted::Living && silent > 0 {
        notes.push(format!("self-sown stems were not recorded in every row of {}", plots_of(silent)));
    }
    let taken = counts.iter().filter(|count| count.taken).count();
    if taken > 0 {
        notes.push(format!(
            "{} without a word of self-sown stems taken as having none, since they were written only where some stood",
            plots_of(taken)
        ));
    }
    if unused > 0 {
        notes.push(format!("left out, because self-sown stems were not recorded: {}", plots_of(unused)));
    }
    let taped = |visit: &&&Visit<'_>| visit.plot.measured_on == MeasuredOn::Slope;
    let level = |visit: &&&Visit<'_>| grounds.slope_of(visit.plot).is_none();
    let reduced = visits.iter().filter(taped).filter(|visit| !level(visit)).count();
    let unreduced = visits.iter().filter(taped).filter(level).count();
    if reduced > 0 {
        notes.push(format!("{} taped along the slope, reduced to the plan", plots_of(reduced)));
    }
    if unreduced > 0 {
        notes.push(format!(
            "{} taped along the slope, not reduced because the slope is not known, so the figure may be low",
            plots_of(unreduced)
        ));
    }
    notes
}

fn plots_of(number: usize) -> String {
    format!("{} {}", whole(number as u64), if number == 1 { "plot" } else { "plots" })
}
