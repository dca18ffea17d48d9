//! One plot that is written in another unit than the rest of its table: covers as fractions, heights in metres under centimetres.

use std::collections::BTreeMap;

use crate::{
    intake::checks::{median, say_of},
    problem::{Change, Measured, Problem, SecondReading, Surveyed},
    project::{CoverMeasure, PlotId, Project, StemStatus},
    source::Row,
    units::number,
};

/// Readings of a plot from which small numbers are no chance (common practice, no source).
const ENOUGH: usize = 3;

/// Per cent that the readings of the other plots have in the mean, beside which those of one are fractions (common practice, no source).
const USUAL_COVER: f64 = 5.0;

/// How far the heights of one plot may lie from those of the others: plots of one planting seldom differ by more than three times
/// (common practice, no source).
const TALLER: f64 = 20.0;

/// Readings of each plot with their rows.
type OfPlots<'a> = BTreeMap<&'a PlotId, Vec<(f64, &'a Row)>>;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let mut covers = OfPlots::new();
    for reading in &project.cover {
        if let CoverMeasure::Percent(percent) = reading.measure {
            covers.entry(&reading.plot).or_default().push((percent, &reading.source));
        }
    }
    let mut heights = OfPlots::new();
    for stem in project.stems.iter().filter(|stem| stem.status == StemStatus::Alive) {
        if let Some(height) = stem.height {
            heights.entry(&stem.plot).or_default().push((height.0, &stem.source));
        }
    }
    fractions(&covers, problems);
    other_unit(&heights, problems);
}

/// The readings of all plots but one.
fn of_others(all: &OfPlots<'_>, plot: &PlotId) -> Vec<f64> {
    all.iter()
        .filter(|(other, _)| **other != plot)
        .flat_map(|(_, read)| read)
        .map(|(value, _)| *value)
        .collect()
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn fractions(covers: &OfPlots<'_>, problems: &mut Vec<Problem>) {
    for (plot, read) in covers {
        let values: Vec<f64> = read.iter().map(|(value, _)| *value).collect();
        let small = values.iter().all(|value| *value <= 1.0);
        let parts = values.iter().filter(|value| **value > 0.0 && **value < 1.0).count();
        let others = of_others(covers, plot);
        if values.len() < ENOUGH
            || !small
            || parts < ENOUGH - 1
            || others.is_empty()
            || mean(&others) < USUAL_COVER
        {
            continue;
        }
        let kind = Surveyed::FractionsInOnePlot {
            plot: plot.to_string(),
            count: values.len(),
            mean: number(mean(&values), 2),
            others: number(mean(&others), 1),
            fraction: number(mean(&values) * 100.0, 1),
        };
        tell(kind, Measured::Cover, 100.0, read, "percent", problems);
    }
}

fn other_unit(heights: &OfPlots<'_>, problems: &mut Vec<Problem>) {
    for (plot, read) in heights {
        let others = of_others(heights, plot);
        if read.len() < ENOUGH || others.len() < ENOUGH {
            continue;
        }
        let middles = median(read.iter().map(|(value, _)| *value).collect()).zip(median(others));
        let Some((here, there)) = middles.filter(|(here, there)| *here > 0.0 && here * TALLER < *there)
        else {
            continue;
        };
        let kind = Surveyed::HeightsOfOnePlot {
            plot: plot.to_string(),
            count: read.len(),
            median: number(here, 3),
            others: number(there, 2),
            factor: 100,
            then: number(here * 100.0, 2),
        };
        tell(kind, Measured::Height, 100.0, read, "height_m", problems);
    }
}

fn tell(
    kind: Surveyed,
    of: Measured,
    factor: f64,
    read: &[(f64, &Row)],
    column: &str,
    problems: &mut Vec<Problem>,
) {
    let other = SecondReading::of(Change::Times { of, factor }, read.iter().map(|(_, row)| *row));
    say_of(kind, read.iter().map(|(_, row)| *row), column, Some(&other), problems);
}
