//! Two covers of a plot that read as if they were changed over, and one that stands apart where all others are alike.

use std::collections::BTreeMap;

use chrono::Datelike as _;

use crate::{
    intake::checks::{median, say_of},
    problem::{Change, Problem, SecondReading, Surveyed},
    project::{CoverMeasure, CoverReading, Layer, Project, slug},
    units::as_written,
};

/// Plots that tell what is usual (common practice, no source).
const ENOUGH: usize = 4;

/// Points that a reading lies off what is usual to stand apart, and within which it would if it were the other's.
const APART: f64 = 25.0;
const NEAR: f64 = 12.0;

/// Points over which the readings of the other plots spread at most where one that stands apart is doubted alone.
const ALIKE: f64 = 15.0;
const APART_ALONE: f64 = 40.0;

/// The readings of a survey of one layer's cover.
type Read<'a> = Vec<(f64, &'a CoverReading)>;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let mut surveys: BTreeMap<(i32, Layer, String), Read<'_>> = BTreeMap::new();
    for reading in &project.cover {
        if let CoverMeasure::Percent(percent) = reading.measure {
            let key = (reading.date.year(), reading.layer, slug(&reading.cover));
            surveys.entry(key).or_default().push((percent, reading));
        }
    }
    let mut told: Vec<&CoverReading> = Vec::new();
    let usual = |read: &Read<'_>, but: &CoverReading| {
        let others: Vec<f64> = read
            .iter()
            .filter(|(_, reading)| reading.plot != but.plot)
            .map(|(percent, _)| *percent)
            .collect();
        (others.len() >= ENOUGH).then_some(others)
    };
    let keys: Vec<&(i32, Layer, String)> = surveys.keys().collect();
    for (at, one) in keys.iter().enumerate() {
        for other in keys[at + 1..].iter().filter(|other| (other.0, other.1) == (one.0, one.1)) {
            let (Some(first), Some(second)) = (surveys.get(*one), surveys.get(*other)) else { continue };
            for (here, reading) in first {
                let same = |of: &CoverReading| (&of.plot, of.date) == (&reading.plot, reading.date);
                let Some((there, partner)) = second.iter().find(|(_, of)| same(of)) else { continue };
                let (Some(of_one), Some(of_other)) = (usual(first, reading), usual(second, partner)) else {
                    continue;
                };
                let (Some(one), Some(other)) = (median(of_one), median(of_other)) else { continue };
                let changed = (here - one).abs() >= APART
                    && (there - other).abs() >= APART
                    && (here - other).abs() <= NEAR
                    && (there - one).abs() <= NEAR;
                if !changed {
                    continue;
                }
                told.extend([*reading, *partner]);
                let kind = Surveyed::CoversChangedOver {
                    plot: reading.plot.to_string().into(),
                    one: format!("`{}` {} %", reading.cover.trim(), as_written(*here)).into(),
                    other: format!("`{}` {} %", partner.cover.trim(), as_written(*there)).into(),
                    usual: format!("{} % and {} %", as_written(one), as_written(other)).into(),
                };
                let rows = || [&reading.source, &partner.source];
                let left_out = SecondReading::of(Change::LeftOut, rows());
                say_of(kind, rows(), "percent", Some(&left_out), problems);
            }
        }
    }
    for read in surveys.values() {
        for (here, reading) in
            read.iter().filter(|(_, reading)| !told.iter().any(|known| known.source == reading.source))
        {
            alone(*here, reading, usual(read, reading), problems);
        }
    }
}

/// A reading far off, where those of all other plots are alike.
fn alone(here: f64, reading: &CoverReading, others: Option<Vec<f64>>, problems: &mut Vec<Problem>) {
    let Some(others) = others else { return };
    let (low, high) =
        others.iter().fold((f64::MAX, f64::MIN), |(low, high), one| (low.min(*one), high.max(*one)));
    let off = (here - high).max(low - here);
    let Some(middle) = median(others.clone()).filter(|_| high - low <= ALIKE && off >= APART_ALONE) else {
        return;
    };
    let kind = Surveyed::CoverApart {
        plot: reading.plot.to_string().into(),
        cover: reading.cover.trim().into(),
        here: as_written(here).into(),
        others: others.len(),
        range: format!(
            "{} to {} %, {} % in the middle",
            as_written(low),
            as_written(high),
            as_written(middle)
        )
        .into(),
    };
    let left_out = SecondReading::of(Change::LeftOut, [&reading.source]);
    say_of(kind, [&reading.source], "percent", Some(&left_out), problems);
}
