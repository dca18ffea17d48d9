//! What the readings of one cover in one plot come to, in whichever of the four ways they were read.

use std::collections::BTreeMap;

use crate::{
    estimate::ratio::count,
    project::{CoverMeasure, CoverReading},
};

/// How a plot was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// All of it by points.
    Points,
    /// All of it along lines.
    Lines,
    /// By eye, or in several ways: each reading weighs the same.
    Mean,
}

/// The share of a plot that one cover takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Within {
    /// How it was read.
    pub way: Way,
    /// What is covered, with every class at its lower edge.
    pub low: f64,
    /// What is covered, classes at their midpoints.
    pub part: f64,
    /// What is covered, with every class at its upper edge.
    pub high: f64,
    /// What it is a part of: points, or metres of line; 1 otherwise.
    pub whole: f64,
}

impl Within {
    /// Nothing of the cover in a plot, read as the others were.
    #[must_use]
    pub fn nought(others: &[Within]) -> Within {
        let way = others.first().map_or(Way::Mean, |first| first.way);
        let alike = others.iter().all(|other| other.way == way);
        let whole = others.iter().map(|other| other.whole).sum::<f64>() / count(others.len());
        match alike && whole > 0.0 {
            true => Within { way, low: 0.0, part: 0.0, high: 0.0, whole },
            false => Within { way: Way::Mean, low: 0.0, part: 0.0, high: 0.0, whole: 1.0 },
        }
    }

    /// The share covered, classes at their midpoints.
    #[must_use]
    pub fn share(&self) -> f64 {
        self.part / self.whole
    }

    /// How far the share could lie from one end of its classes to the other.
    #[must_use]
    pub fn width(&self) -> f64 {
        (self.high - self.low) / self.whole
    }
}

/// What `readings` of one cover in one plot on one day come to; `None` without readings.
///
/// # Equations
/// Σ hits / Σ points; Σ intercepts / Σ lines, each line counted once however many stretches of it are covered; else the mean of the
/// readings, a class at its midpoint.
/// # Reference
/// Canfield (1941), *Journal of Forestry* 39:388-394 (lines); Daubenmire (1959), *Northwest Science* 33:43-64 (midpoints).
#[must_use]
pub fn within_plot(readings: &[&CoverReading]) -> Option<Within> {
    points(readings).or_else(|| lines(readings)).or_else(|| mean(readings))
}

fn exact(way: Way, part: f64, whole: f64) -> Option<Within> {
    (whole > 0.0).then_some(Within { way, low: part, part, high: part, whole })
}

/// Hits of points, where all of the plot was read by points.
fn points(readings: &[&CoverReading]) -> Option<Within> {
    let (mut part, mut whole) = (0.0, 0.0);
    for reading in readings {
        let CoverMeasure::Hits { hits, points } = reading.measure else { return None };
        part += f64::from(hits);
        whole += f64::from(points);
    }
    exact(Way::Points, part, whole)
}

/// Metres of lines, where all of the plot was read along lines.
fn lines(readings: &[&CoverReading]) -> Option<Within> {
    let (mut part, mut lines) = (0.0, BTreeMap::new());
    for reading in readings {
        let CoverMeasure::Intercept { covered, line, name } = &reading.measure else { return None };
        part += covered.0;
        lines.insert(name.as_deref().unwrap_or_default().trim().to_lowercase(), line.0);
    }
    exact(Way::Lines, part, lines.values().sum())
}

/// The mean of the readings. Stretches of a line stand for themselves, which only a plot read in several ways could tell apart.
fn mean(readings: &[&CoverReading]) -> Option<Within> {
    let mut sums = [0.0; 3];
    for reading in readings {
        let edges = match &reading.measure {
            CoverMeasure::Percent(percent) => [percent / 100.0; 3],
            CoverMeasure::Hits { points: 0, .. } => [0.0; 3],
            CoverMeasure::Hits { hits, points } => [f64::from(*hits) / f64::from(*points); 3],
            CoverMeasure::Class(class) => [class.low, class.middle(), class.high].map(|edge| edge / 100.0),
            CoverMeasure::Intercept { covered, line, .. } => [covered.0 / line.0; 3],
        };
        for (sum, edge) in sums.iter_mut().zip(edges) {
            *sum += edge;
        }
    }
    let n = count(readings.len());
    let [low, part, high] = sums.map(|sum| sum / n);
    (!readings.is_empty()).then_some(Within { way: Way::Mean, low, part, high, whole: 1.0 })
}
