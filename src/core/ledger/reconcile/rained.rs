//! The erosivity that was given against the folder's own rain.

use chrono::NaiveDate;

use crate::{
    estimate::erosion::{Annual, SIGMA_ANNUAL, annual},
    ledger::{Ledger, catalogue, reconcile::Difference},
    problem::{Agreement, Place},
    project::{Project, Soil},
    units::{Millimetres, number},
};

/// Errors of ln R within which an erosivity may lie of what yearly rain makes.
const ERRORS: f64 = 2.0;

/// Days that a year of rain has, within a week.
const YEAR: std::ops::RangeInclusive<i64> = 359..=373;

/// Yearly rain is no way to an erosivity here, but it tells a slipped point or another unit: what was given must lie near what one of the
/// published relations makes, by their own error.
pub(super) fn compare(ledger: &Ledger, project: &Project, found: &mut Vec<Difference>) {
    let given = project.soil.erosivity.filter(|given| Soil::EROSIVITIES.contains(given));
    let days = |from: NaiveDate, to: NaiveDate| (to - from).num_days() + 1;
    let (Some(given), true) = (given, YEAR.contains(&days(project.period.from, project.period.to))) else {
        return;
    };
    let rain = [&catalogue::RAIN_MEDIAN, &catalogue::RAIN]
        .iter()
        .find_map(|series| ledger.figure(series.whole().as_str()));
    let Some(rain) = rain.filter(|rain| rain.value > 0.0) else { return };
    let made = [Annual::YuRosewell, Annual::RenardFreimund].map(|by| annual(by, Millimetres(rain.value)).0);
    let within = ERRORS * SIGMA_ANNUAL;
    if made.iter().any(|made| libm::log(given / made).abs() <= within) {
        return;
    }
    let kind = Agreement::ErosivityUnlikeRain {
        given: number(given, 0),
        rain: number(rain.value, 0),
        relations: "two published relations with yearly rain",
        made: format!("{} and {}", number(made[0], 0), number(made[1], 0)),
    };
    let place = Place::file("project.toml").column("soil.erosivity");
    found.push(Difference {
        doubt: Some((kind, place)),
        figures: vec![catalogue::EROSIVITY.whole()],
        rivals: Vec::new(),
    });
}
