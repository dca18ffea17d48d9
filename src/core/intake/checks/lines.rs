//! Intercepts along lines that their lines contradict.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    intake::nearest::folded,
    problem::{Place, Problem, Records},
    project::{CoverMeasure, CoverReading, Layer, PlotId, Project},
};

/// More than rounding lets a sum of lengths in centimetres stray, m.
const ROUNDED: f64 = 0.01;

/// One line, and one cover on it on one day.
type Line<'a> = (&'a PlotId, NaiveDate, Layer, String, String);

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let mut lines: BTreeMap<Line<'_>, (f64, f64)> = BTreeMap::new();
    for reading in &project.cover {
        let CoverMeasure::Intercept { covered, line, name } = &reading.measure else { continue };
        let name = folded(name.as_deref().unwrap_or_default());
        let key = (&reading.plot, reading.date, reading.layer, folded(&reading.cover), name);
        let (length, sum) = lines.entry(key).or_insert((line.0, 0.0));
        let within = *sum <= *length + ROUNDED;
        *sum += covered.0;
        if (*length - line.0).abs() > ROUNDED {
            problems.push(said(reading, "line_m", Records::LinesDiffer { one: *length, other: line.0 }));
        } else if within && *sum > *length + ROUNDED {
            problems.push(said(reading, "intercept_m", Records::BeyondLine { sum: *sum, line: *length }));
        }
    }
}

fn said(reading: &CoverReading, column: &'static str, kind: Records) -> Problem {
    Problem::new(kind, Place::row(&reading.source).column(column))
}
