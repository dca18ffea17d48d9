//! Plots too large to be plots, and plots that hold far more or far fewer stems than the planting log can explain.

use std::{collections::BTreeMap, f64::consts::PI};

use crate::{
    geometry,
    intake::checks::coverage::DENSEST,
    problem::{Change, Measured, Place, Plausibility, Problem, SecondReading},
    project::{AreaId, Plot, PlotId, PlotShape, Project},
    units::{as_written, number},
};

/// The longest radius of a round plot, m: half a hectare (common practice, no source).
const LONGEST_RADIUS: f64 = 40.0;

/// How many times more stems, or fewer, may stand in a plot than in the whole of its area (common practice, no source: plants
/// stand in clumps and strips, and a slipped decimal point makes ten or a hundred).
pub(super) const FACTOR: f64 = 8.0;

/// How many times more stems may stand in one plot where the other plots of its area agree with the log (common practice, no source).
const FACTOR_ALONE: f64 = 4.0;

/// Within how many times the other plots agree with it.
const AGREE: f64 = 2.0;

/// Stems below which chance alone makes a plot rich or poor (common practice, no source).
pub(super) const ENOUGH: f64 = 12.0;

/// How near a log with a tenth of one row comes to what stands in the plots (common practice, no source).
const SLIPPED: f64 = 1.4;

/// Square metres in a hectare.
pub(super) const HECTARE: f64 = 10_000.0;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let mut planted: BTreeMap<&AreaId, u64> = BTreeMap::new();
    for planting in project.plantings_to_date() {
        *planted.entry(&planting.area).or_default() += planting.stems.0;
    }
    let sizes: BTreeMap<&AreaId, f64> =
        project.areas.iter().map(|area| (&area.id, geometry::area(&area.boundary).0)).collect();
    let set = set(project);
    for plot in &project.plots {
        let Some(&area) = sizes.get(&plot.area) else { continue };
        let problem = too_large(plot, area).or_else(|| {
            let (stems, log) = (*set.get(&plot.id)?, *planted.get(&plot.area)?);
            // A log beyond belief has had its word, and no plot can agree with it.
            if count(log) / area * HECTARE > DENSEST {
                return None;
            }
            let others = project.plots.iter().filter(|other| other.area == plot.area && other.id != plot.id);
            let (mut ground, mut held) = (0.0, 0.0);
            for (other, stems) in others.filter_map(|other| Some((other, *set.get(&other.id)?))) {
                ground += size(other.shape);
                held += count(stems);
            }
            let ratio = held / ground / (count(log) / area);
            let agree = (1.0 / AGREE..=AGREE).contains(&ratio);
            let slipped = |ratio: f64| slipped_row(project, &plot.area, count(log), ratio);
            against_log(plot, stems, log, area, (if agree { FACTOR_ALONE } else { FACTOR }, &slipped))
        });
        problems.extend(problem);
    }
}

/// Stems set in each plot: as its table says, else by the visit at which most were counted.
pub(super) fn set(project: &Project) -> BTreeMap<&PlotId, u64> {
    let mut visits: BTreeMap<(&PlotId, chrono::NaiveDate), u64> = BTreeMap::new();
    // What is counted after the period's end says nothing of its plots.
    for tally in project.tallies.iter().filter(|tally| tally.date <= project.period.to) {
        *visits.entry((&tally.plot, tally.date)).or_default() += tally.set();
    }
    let mut set: BTreeMap<&PlotId, u64> = BTreeMap::new();
    for ((plot, _), stems) in visits {
        let most = set.entry(plot).or_default();
        *most = stems.max(*most);
    }
    let stated = project.plots.iter().filter_map(|plot| Some((&plot.id, plot.planted_stems?.0)));
    set.extend(stated);
    set
}

/// Its size as it was measured, m².
pub(super) fn size(shape: PlotShape) -> f64 {
    match shape {
        PlotShape::Area(area) => area.0,
        PlotShape::Circle(radius) => PI * radius.0 * radius.0,
        PlotShape::Rectangle(length, width) => length.0 * width.0,
    }
}

/// A tenth of the plot's sides, where it has sides.
fn tenth(plot: &Plot) -> SecondReading {
    SecondReading::of(Change::Times { of: Measured::PlotSide, factor: 0.1 }, [&plot.source])
}

fn column(shape: PlotShape) -> &'static str {
    match shape {
        PlotShape::Area(_) => "size_m2",
        PlotShape::Circle(_) => "radius_m",
        PlotShape::Rectangle(..) => "length_m",
    }
}

fn too_large(plot: &Plot, area: f64) -> Option<Problem> {
    let (id, size) = (plot.id.to_string(), size(plot.shape));
    let place = Place::row(&plot.source).column(column(plot.shape));
    match plot.shape {
        PlotShape::Circle(radius) if radius.0 > LONGEST_RADIUS => {
            let kind = Plausibility::PlotBeyondBelief {
                plot: id,
                radius: as_written(radius.0),
                size: number(size, 0),
                tenth: as_written(radius.0 / 10.0),
                tenth_size: number(size / 100.0, 1),
            };
            Some(Problem::new(kind, place).or(tenth(plot)))
        }
        _ if size > area => {
            let kind = Plausibility::PlotLargerThanArea {
                plot: id,
                plot_size: number(size, 0),
                area: plot.area.to_string(),
                area_size: number(area, 0),
            };
            Some(Problem::new(kind, place))
        }
        _ => None,
    }
}

/// The row of the log that would agree with plots which have `ratio` times the stems of it, were it a tenth of what is written; empty where
/// none would.
pub(super) fn slipped_row(project: &Project, area: &AreaId, log: f64, ratio: f64) -> String {
    let here = project.plantings_to_date().filter(|planting| planting.area == *area);
    let would = |stems: f64| (log - stems * 0.9) / (log * ratio);
    let found = here
        .filter(|planting| {
            planting.stems.0 >= 10 && (1.0 / SLIPPED..=SLIPPED).contains(&would(count(planting.stems.0)))
        })
        .min_by(|one, other| {
            let off = |stems: u64| libm::fabs(libm::log(would(count(stems))));
            off(one.stems.0).total_cmp(&off(other.stems.0))
        });
    found.map_or_else(String::new, |planting| {
        format!(
            "; or the log is wrong: {} stems and not {} in row {} of {} would agree",
            number(count(planting.stems.0) / 10.0, 0),
            number(count(planting.stems.0), 0),
            planting.source.row,
            planting.source.file
        )
    })
}

fn against_log(
    plot: &Plot,
    stems: u64,
    log: u64,
    area: f64,
    (more, slipped): (f64, &dyn Fn(f64) -> String),
) -> Option<Problem> {
    let size = size(plot.shape);
    let (found, expected) = (count(stems), count(log) * size / area);
    let far =
        (found >= ENOUGH && found > more * expected) || (expected >= ENOUGH && expected > FACTOR * found);
    if !far || stems == 0 {
        return None;
    }
    let (kind, other) = (explained(plot, found / expected), tenth(plot));
    let says = Plausibility::PlotAgainstLog {
        set: format!("{stems} stems were set in plot {} of {} m²", plot.id, number(size, 1)),
        in_plot: number(found / size * HECTARE, 0),
        in_log: number(count(log) / area * HECTARE, 0),
        area: plot.area.to_string(),
        explained: format!("{kind}{}", slipped(found / expected)),
    };
    let problem = Problem::new(says, Place::row(&plot.source).column(column(plot.shape)));
    // A tenth of the sides is a hundredth of the plot: only that much too few stems are explained by it.
    let shrinks = found < expected && !kind.is_empty() && !matches!(plot.shape, PlotShape::Area(_));
    Some(if shrinks { problem.or(other) } else { problem })
}

/// What a slipped decimal point would explain, where one does.
fn explained(plot: &Plot, ratio: f64) -> String {
    let near = |factor: f64| (1.0 / 3.0..=3.0).contains(&(ratio * factor));
    match plot.shape {
        PlotShape::Circle(radius) if near(100.0) => {
            format!("; a radius of {} m would explain it", as_written(radius.0 / 10.0))
        }
        PlotShape::Circle(radius) if near(4.0) && ratio < 1.0 => {
            format!(
                "; a radius of {} m would explain it, if {} m is across",
                as_written(radius.0 / 2.0),
                as_written(radius.0)
            )
        }
        PlotShape::Rectangle(length, width) if near(100.0) => format!(
            "; {} m by {} m would explain it",
            as_written(length.0 / 10.0),
            as_written(width.0 / 10.0)
        ),
        PlotShape::Area(size) if near(10.0) => {
            format!("; a plot of {} m² would explain it", as_written(size.0 / 10.0))
        }
        PlotShape::Area(size) if near(100.0) => {
            format!("; a plot of {} m² would explain it", as_written(size.0 / 100.0))
        }
        _ if near(0.1) => "; ten times fewer stems would explain it".to_owned(),
        _ => String::new(),
    }
}

#[allow(clippy::cast_precision_loss, reason = "no folder holds 2^53 stems")]
fn count(stems: u64) -> f64 {
    stems as f64
}
