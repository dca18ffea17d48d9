//! Heights and diameters that no stem of that age has.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    intake::checks::first_plantings,
    problem::{Place, Problem, Records},
    project::{AreaId, PlotId, Project},
    units::number,
};

/// Metres that the tallest planted tree stays below (common practice, no source).
const TALLEST: f64 = 60.0;

/// Metres that no stem adds in a year (common practice, no source).
const GROWTH: f64 = 4.0;

/// Metres that the tallest stock has when it is planted (common practice, no source).
const STOCK: f64 = 2.0;

/// Millimetres that the stoutest planted tree stays below (common practice, no source).
const STOUTEST: f64 = 1_500.0;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let areas: BTreeMap<&PlotId, &AreaId> = project.plots.iter().map(|plot| (&plot.id, &plot.area)).collect();
    let first = first_plantings(project);
    for stem in &project.stems {
        let mut says = |what, found, limit, column: &str| {
            let kind = Records::SizeBeyondBelief { what, found, limit };
            problems.push(Problem::new(kind, Place::row(&stem.source).column(column)));
        };
        let planted = areas.get(&stem.plot).and_then(|area| first.get(area));
        let years = planted.map(|day| days(*day, stem.date) / 365.25);
        let tallest = years.map_or(TALLEST, |years| (STOCK + GROWTH * years.max(0.0)).min(TALLEST));
        if let Some(height) = stem.height.filter(|height| height.0 > tallest) {
            says(
                "a height",
                format!("{} m", number(height.0, 2)),
                format!("{} m at this age", number(tallest, 1)),
                "height_m",
            );
        }
        if let Some(diameter) = stem.diameter_mm.filter(|diameter| *diameter > STOUTEST) {
            says(
                "a diameter",
                format!("{} mm", number(diameter, 0)),
                format!("{} mm", number(STOUTEST, 0)),
                "diameter_mm",
            );
        }
    }
}

fn days(from: NaiveDate, to: NaiveDate) -> f64 {
    i32::try_from((to - from).num_days()).map_or(0.0, f64::from)
}
