//! Stems on a plan hectare, from plots.

use std::collections::BTreeMap;

use crate::{
    estimate::{
        Estimate, Finding, Gap, Interval, Method,
        ground::{Grounds, plan_area},
        interval,
        ratio::Pair,
        stratified::{Stratified, Stratum, separate_ratio},
        visit::Visit,
    },
    project::{AreaId, MeasuredOn},
    source::Sources,
    units::{Hectares, StemsPerHectare, whole},
};

/// Sampling less than this part of an area is taken as sampling next to nothing (Cochran 1977, section 2.6).
pub(crate) const SMALL_SAMPLE: f64 = 0.05;

/// Which stems are counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Counted {
    /// Everything alive: planted and self-sown.
    Living,
    /// Self-sown stems only.
    Recruits,
}

/// Stems on a plan hectare over `visits`; several areas are weighted by their plan hectares.
///
/// # Equations and sources
/// [`Method::DENSITY`] and [`Method::DENSITY_POISSON`].
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
    let counts: Vec<Count<'_>> = visits.iter().filter_map(|visit| count(visit, grounds, counted)).collect();
    if counts.is_empty() {
        return Err(Gap::RecruitsNotRecorded);
    }
    let joint = separate_ratio(&strata(&counts, grounds)).ok_or(Gap::NoPlotArea)?;
    let (method, ends) = interval_of(&joint, &counts, confidence);
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
        method,
        sources: rows.collect::<Sources>(),
        notes: notes(&joint, visits, &counts, grounds, counted),
    })
}

/// What [`density`] rests on: the areas, put together; `None` where it can't be had.
#[must_use]
pub fn joint(visits: &[&Visit<'_>], grounds: &Grounds<'_>, counted: Counted) -> Option<Stratified> {
    let counts: Vec<Count<'_>> = visits.iter().filter_map(|visit| count(visit, grounds, counted)).collect();
    separate_ratio(&strata(&counts, grounds))
}

/// Stems in a plot and its plan hectares.
struct Count<'a> {
    visit: &'a Visit<'a>,
    stems: f64,
    hectares: f64,
    /// Self-sown stems were not recorded in one of its rows.
    silent: bool,
}

#[allow(clippy::cast_precision_loss, reason = "no folder holds 2^53 stems")]
fn count<'a>(visit: &'a Visit<'a>, grounds: &Grounds<'_>, counted: Counted) -> Option<Count<'a>> {
    let alive: u64 = visit.tallies.iter().map(|tally| tally.alive.0).sum();
    let mut sown = visit.tallies.iter().filter_map(|tally| tally.recruits).peekable();
    let recorded = sown.peek().is_some();
    let recruits: u64 = sown.map(|stems| stems.0).sum();
    let slope = grounds.slope_of(visit.plot);
    let stems = match counted {
        Counted::Living => alive + recruits,
        Counted::Recruits if recorded => recruits,
        Counted::Recruits => return None,
    };
    let hectares = Hectares::from(plan_area(visit.plot, slope)).0;
    let silent = visit.tallies.iter().any(|tally| tally.recruits.is_none());
    Some(Count { visit, stems: stems as f64, hectares, silent })
}

fn strata(counts: &[Count<'_>], grounds: &Grounds<'_>) -> Vec<Stratum> {
    let mut areas: BTreeMap<&AreaId, Vec<Pair>> = BTreeMap::new();
    for count in counts {
        let pair = Pair { part: count.stems, whole: count.hectares };
        areas.entry(&count.visit.plot.area).or_default().push(pair);
    }
    let stratum = |(area, plots): (&AreaId, Vec<Pair>)| {
        let weight = grounds.get(area)?.plan.0;
        let sampled = plots.iter().map(|plot| plot.whole).sum::<f64>() / weight;
        let sampled = if sampled < SMALL_SAMPLE { 0.0 } else { sampled.min(1.0) };
        Some(Stratum { weight, sampled, plots })
    };
    areas.into_iter().filter_map(stratum).collect()
}

fn interval_of(joint: &Stratified, counts: &[Count<'_>], confidence: f64) -> (Method, Option<(f64, f64)>) {
    match joint.spread {
        Some(spread) if spread.variance > 0.0 => {
            let ends = interval::symmetric_t(joint.value, spread.variance, spread.df, confidence);
            (Method::DENSITY, Some(ends))
        }
        Some(_) if !joint.census => {
            let stems: f64 = counts.iter().map(|count| count.stems).sum();
            let hectares: f64 = counts.iter().map(|count| count.hectares).sum();
            let (low, high) = interval::poisson(stems, confidence);
            let ends = ((low / hectares).min(joint.value), (high / hectares).max(joint.value));
            (Method::DENSITY_POISSON, Some(ends))
        }
        _ => (Method::DENSITY, None),
    }
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
    match joint.spread {
        None if !joint.census => notes.push("one plot only, so there is no interval".to_owned()),
        Some(spread) if spread.variance <= 0.0 => notes.push(
            "all plots agree and show no spread, so the interval takes stems to stand at random".to_owned(),
        ),
        _ => {}
    }
    let silent = counts.iter().filter(|count| count.silent).count();
    let unused = visits.len() - counts.len();
    if counted == Counted::Living && silent > 0 {
        notes.push(format!("self-sown stems were not recorded in every row of {}", plots_of(silent)));
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
