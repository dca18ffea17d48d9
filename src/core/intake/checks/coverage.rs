//! Areas that were planted and never surveyed, planted too densely to be true, or taped on a slope nobody measured.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    geometry,
    problem::{Place, Problem, Records},
    project::{AreaId, MeasuredOn, PlotId, Project},
    units::{Hectares, number as figure, whole},
};

/// Stems on a hectare that no planting in rows reaches: one on every square metre (common practice, no source).
pub(super) const DENSEST: f64 = 10_000.0;

/// Stems on a hectare that plantings have, from wide-spaced trees to close shrubs (common practice, no source).
const USUAL: std::ops::RangeInclusive<f64> = 200.0..=5_000.0;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let mut planted: BTreeMap<&AreaId, u64> = BTreeMap::new();
    for planting in project.plantings_to_date() {
        *planted.entry(&planting.area).or_default() += planting.stems.0;
    }
    let visited: BTreeSet<&PlotId> = project.tallies.iter().map(|tally| &tally.plot).collect();
    let surveyed: BTreeSet<&AreaId> =
        project.plots.iter().filter(|plot| visited.contains(&plot.id)).map(|plot| &plot.area).collect();
    for area in &project.areas {
        let Some(&stems) = planted.get(&area.id) else { continue };
        if !project.tallies.is_empty() && !surveyed.contains(&area.id) {
            let kind = Records::AreaNotSurveyed { area: area.id.to_string() };
            problems.push(Problem::new(kind, Place::row(&area.source)));
        }
        let hectares = Hectares::from(geometry::area(&area.boundary)).0;
        let per_hectare = number(stems) / hectares;
        if per_hectare > DENSEST {
            let explained = match USUAL.contains(&(per_hectare / 10.0)) {
                true => {
                    format!("; a tenth of the stems would be {} a hectare", figure(per_hectare / 10.0, 0))
                }
                false => String::new(),
            };
            let kind = Records::TooDense {
                planted: format!("{} stems on {} ha of {}", whole(stems), figure(hectares, 2), area.id),
                per_hectare: figure(per_hectare, 0),
                apart: figure((10_000.0 / per_hectare).sqrt(), 2),
                explained,
            };
            problems.push(Problem::new(kind, Place::row(&area.source)));
        }
    }
    slopes_unknown(project, problems);
}

fn slopes_unknown(project: &Project, problems: &mut Vec<Problem>) {
    let known: BTreeSet<&AreaId> = project.slopes.iter().map(|slope| &slope.area).collect();
    // A terrain model tells the slope at every plot, or says itself which areas it leaves out.
    if project.ground.is_some() {
        return;
    }
    for plot in &project.plots {
        if plot.measured_on == MeasuredOn::Slope && !known.contains(&plot.area) {
            let kind = Records::SlopeUnknown { plot: plot.id.to_string(), area: plot.area.to_string() };
            problems.push(Problem::new(kind, Place::row(&plot.source).column("measured_on")));
        }
    }
}

#[allow(clippy::cast_precision_loss, reason = "no folder holds 2^53 stems")]
fn number(count: u64) -> f64 {
    count as f64
}
