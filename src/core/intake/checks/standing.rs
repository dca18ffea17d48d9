//! Living planted stems on a hectare that were never planted there, or far fewer set than were: the sides of the plots, most often.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    geometry,
    intake::checks::{
        coverage::DENSEST,
        plots::{ENOUGH, FACTOR, HECTARE, set, size, slipped_row},
        say_of,
    },
    problem::{Change, Measured, Problem, SecondReading, Slips},
    project::{Area, Plot, PlotId, PlotShape, Project, Stock},
    units::{as_written, number},
};

/// How many times the stems planted on a hectare may be found living on a hectare of plots (common practice, no source: rows keep off
/// rocks, tracks and creeks, and plots are laid where rows are).
const MORE: f64 = 1.25;

/// How many times fewer may have been set in the plots than on the whole area (common practice, no source).
const FEWER: f64 = 2.0;

/// Standard errors by which a count may lie off by the chance of where its plots fell: two, 95 % of all samples.
const ERRORS: f64 = 2.0;

/// How near a rule of thumb must come to what is found to explain it (common practice, no source).
const NEAR: std::ops::RangeInclusive<f64> = 0.8..=1.25;

/// A plot with the planted stems alive at its latest visit, and those that were set in it.
struct Counted<'a> {
    plot: &'a Plot,
    alive: f64,
    set: f64,
}

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let mut visits: BTreeMap<&PlotId, BTreeMap<NaiveDate, u64>> = BTreeMap::new();
    for tally in &project.tallies {
        *visits.entry(&tally.plot).or_default().entry(tally.date).or_default() += tally.alive.0;
    }
    let set = set(project);
    let mut all = Vec::new();
    for area in &project.areas {
        let hectares = geometry::area(&area.boundary).0 / HECTARE;
        let latest = |plot: &Plot| visits.get(&plot.id)?.last_key_value();
        let of_area = || project.plots.iter().filter(|plot| plot.area == area.id);
        let Some(last) = of_area().filter_map(|plot| latest(plot).map(|(day, _)| *day)).max() else {
            continue;
        };
        let here = || project.plantings.iter().filter(|row| row.area == area.id && row.date <= last);
        let planted = count(here().map(|row| row.stems.0).sum());
        if planted < 1.0 || planted / hectares > DENSEST {
            continue;
        }
        let counted = of_area().filter_map(|plot| {
            let (_, &alive) = latest(plot)?;
            let set = set.get(&plot.id).map_or(0.0, |&stems| count(stems));
            Some(Counted { plot, alive: count(alive), set: set.max(count(alive)) })
        });
        // A single plot that is far off is told as that.
        let usual = counted.filter(|one| {
            let expected = planted / hectares * size(one.plot.shape) / HECTARE;
            one.set < ENOUGH.max(FACTOR * expected) && expected < ENOUGH.max(FACTOR * one.set)
        });
        let sown = here().any(|row| row.stock == Some(Stock::DirectSeed));
        let counted: Vec<Counted<'_>> = usual.collect();
        all.extend(found(project, area, &counted, sown, planted, hectares));
    }
    // One tape laid out all plots: what is alike in several areas is one slip, and its result that of all together.
    let factors: Vec<f64> = all.iter().map(|found| found.factor).collect();
    let alike = factors.iter().all(|factor| factors.iter().all(|other| NEAR.contains(&(factor / other))));
    let together = alike.then(|| {
        let factor = libm::pow(factors.iter().product(), 1.0 / count(factors.len() as u64));
        reading(factor, all.iter().flat_map(|found| &found.plots))
    });
    for found in all {
        found.tell(together.as_ref(), problems);
    }
}

/// The plots with sides so many times as long.
fn reading<'a>(factor: f64, plots: impl Iterator<Item = &'a &'a Plot>) -> SecondReading {
    let change = Change::Times { of: Measured::PlotSide, factor };
    SecondReading::of(change, plots.map(|plot| &plot.source))
}

/// What the plots of an area say against what was planted there.
struct Found<'a> {
    plots: Vec<&'a Plot>,
    kind: Slips,
    factor: f64,
}

impl Found<'_> {
    fn tell(self, together: Option<&SecondReading>, problems: &mut Vec<Problem>) {
        let alone = reading(self.factor, self.plots.iter());
        let column = match self.plots.first().map(|plot| plot.shape) {
            Some(PlotShape::Circle(_)) => "radius_m",
            Some(PlotShape::Rectangle(..)) => "length_m",
            _ => "size_m2",
        };
        say_of(
            self.kind,
            self.plots.iter().map(|plot| &plot.source),
            column,
            Some(together.unwrap_or(&alone)),
            problems,
        );
    }
}

fn found<'a>(
    project: &Project,
    area: &Area,
    counted: &[Counted<'a>],
    sown: bool,
    planted: f64,
    hectares: f64,
) -> Option<Found<'a>> {
    let ground: f64 = counted.iter().map(|one| size(one.plot.shape) / HECTARE).sum();
    let (alive, set) = (counted.iter().map(|one| one.alive).sum(), counted.iter().map(|one| one.set).sum());
    let log = planted / hectares;
    let high = alive / ground > MORE * log
        && alive >= ENOUGH
        && (alive - ERRORS * error(counted, |one| one.alive)) / ground > log;
    // Of what was sown few seeds come up, and without a count of the dead nobody knows what was set.
    let known =
        counted.iter().all(|one| one.plot.planted_stems.is_some()) || losses_counted(project, counted);
    let low = known
        && !sown
        && set / ground * FEWER < log
        && log * ground >= ENOUGH
        && (set + ERRORS * error(counted, |one| one.set)) / ground < log;
    if !high && !low {
        return None;
    }
    let (stems, what) = if high { (alive, "planted stems alive") } else { (set, "stems set") };
    let plots: Vec<&Plot> = counted.iter().map(|one| one.plot).collect();
    let ratio = set / ground / log;
    let says = Slips::StandingAgainstPlanted {
        found: format!(
            "{} {what} in {} plots of {} m² together",
            number(stems, 0),
            plots.len(),
            number(ground * HECTARE, 0)
        ),
        of_plots: number(stems / ground, 0),
        planted: format!("{} stems planted on {} ha of {}", number(planted, 0), number(hectares, 2), area.id),
        of_log: number(log, 0),
        explained: format!(
            "{}{}",
            explained(&plots, ratio, set / ground),
            slipped_row(project, &area.id, planted, ratio)
        ),
    };
    let factor = thumb(&plots, ratio).map_or(ratio.sqrt(), |(factor, _)| factor);
    Some(Found { plots, kind: says, factor })
}

/// The standard error of the stems in all plots together: by how the plots differ, and at least by the chance of each stem.
fn error(counted: &[Counted<'_>], stems: impl Fn(&Counted<'_>) -> f64) -> f64 {
    let ground: f64 = counted.iter().map(|one| size(one.plot.shape)).sum();
    let sum: f64 = counted.iter().map(&stems).sum();
    let n = counted.len() as f64;
    let off = |one: &Counted<'_>| (stems(one) - sum / ground * size(one.plot.shape)).powi(2);
    let between = counted.iter().map(off).sum::<f64>() * n / (n - 1.0).max(1.0);
    between.max(sum).sqrt()
}

fn losses_counted(project: &Project, counted: &[Counted<'_>]) -> bool {
    let here = |plot: &PlotId| counted.iter().any(|one| &one.plot.id == plot);
    project.tallies.iter().any(|tally| here(&tally.plot) && (tally.dead.is_some() || tally.missing.is_some()))
}

/// What a slip of the tape would explain, as a factor of the sides and in words.
fn thumb(plots: &[&Plot], ratio: f64) -> Option<(f64, &'static str)> {
    let all = |is: fn(PlotShape) -> bool| plots.iter().all(|plot| is(plot.shape));
    let (round, sided) = (
        all(|shape| matches!(shape, PlotShape::Circle(_))),
        all(|shape| matches!(shape, PlotShape::Rectangle(..))),
    );
    let near = |factor: f64| NEAR.contains(&(ratio / factor));
    let root = std::f64::consts::SQRT_2;
    match () {
        () if near(4.0) && round => Some((2.0, "if what is written is half the radius")),
        () if near(0.25) && round => Some((0.5, "if what is written is the diameter and not the radius")),
        () if near(4.0) && sided => Some((2.0, "if the sides were measured from the middle")),
        () if near(0.25) && sided => Some((0.5, "if the sides are twice what was laid out")),
        () if near(2.0) => Some((root, "if half of each plot is written down")),
        () if near(0.5) => Some((1.0 / root, "if only half of each plot was counted")),
        () => None,
    }
}

/// The size of plots that would agree with the log, and how it could have come about.
fn explained(plots: &[&Plot], ratio: f64, of_plots: f64) -> String {
    let Some(first) = plots.first() else { return String::new() };
    let (factor, why) = thumb(plots, ratio).unwrap_or((ratio.sqrt(), ""));
    let sides = match first.shape {
        PlotShape::Area(_) => String::new(),
        PlotShape::Circle(radius) => {
            format!(" (a radius of {} m and not {} m)", number(radius.0 * factor, 2), as_written(radius.0))
        }
        PlotShape::Rectangle(length, width) => format!(
            " ({} m by {} m and not {} m by {} m)",
            number(length.0 * factor, 2),
            number(width.0 * factor, 2),
            as_written(length.0),
            as_written(width.0)
        ),
    };
    let why = if why.is_empty() { String::new() } else { format!("{why}, ") };
    format!(
        "; {why}{} m² for each {} m² of plot{sides} make {} stems set on a hectare",
        number(size(first.shape) * factor * factor, 0),
        number(size(first.shape), 0),
        number(of_plots / factor / factor, 0)
    )
}

#[allow(clippy::cast_precision_loss, reason = "no folder holds 2^53 stems")]
fn count(stems: u64) -> f64 {
    stems as f64
}
