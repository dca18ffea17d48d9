//! The small project on a hill made of smooth functions, and what a ledger may say of it.
#![allow(unreachable_pub, dead_code, reason = "not every test binary asks for a hill")]

use chrono::Datelike;
use hillfolio_core::{
    estimate::{Estimate, Interval, Method, rain, terrain::breaks},
    ledger::{self, CellFigures, CellLoss, FigureId, Filled},
    project::{Ground, Project, RainDay, SlopeClasses},
    source::Sources,
    terrain::{self, Raster},
    units::{Millimetres, Unit},
};

use crate::support::{day, hill, row, small_project};

/// The small project on a hill.
pub(crate) fn on_a_hill() -> Project {
    Project {
        ground: Some(Ground { heights: hill().into(), file: "terrain.tif".into() }),
        rain: rain(),
        ..small_project()
    }
}

/// Rain of the period and of twelve years before it: a wet summer, a dry spring, a broken gauge in April.
fn rain() -> Vec<RainDay> {
    let days = day("2013-07-01").iter_days().take_while(|date| *date <= day("2026-06-30"));
    let rain = days.zip(2u32..).map(|(date, n)| {
        let wet = libm::sin(f64::from(n) * 12.9898) * 43_758.547;
        let chance = wet - wet.floor();
        let season = if [12, 1, 2, 3].contains(&date.month()) { 0.34 } else { 0.16 };
        let fell = if chance < season { 2.0 + 60.0 * chance * chance / season } else { 0.0 };
        let broken = date >= day("2026-04-03") && date <= day("2026-04-19");
        RainDay { date, mm: (!broken).then_some(Millimetres(fell)), source: row("rain.csv", n) }
    });
    rain.collect()
}

/// What the ledger says of the ground, entered by hand: the small project has neither soil nor cover.
pub(crate) fn filled(project: &Project) -> Filled {
    let mut ledger = ledger::fill(project);
    let cells = project.ground.as_ref().map(|ground| cells(&ground.heights, project));
    let mut enter = |id: String, label: &str, unit: Unit, method: Method, value: f64, reach: f64| {
        let interval =
            (reach > 1.0).then(|| Interval { low: value / reach, high: value * reach, confidence: 0.9 });
        let sources = Sources::from_iter([&row("project.toml", 1)]);
        let estimate =
            Estimate { value, interval, sample: None, cautious: None, method, sources, notes: Vec::new() };
        ledger.enter(FigureId::fixed(&id), label, unit, Ok(estimate));
    };
    for (area, slope, loss) in [("north-face", 19.4, 21.6), ("gully-head", 14.2, 8.9), ("all", 17.3, 16.5)] {
        let mut ground = |stem: &str, label: &str, unit: Unit, method: Method, value: f64, reach: f64| {
            enter(format!("{stem}.{area}"), label, unit, method, value, reach);
        };
        ground("terrain.slope.mean", "Mean slope", Unit::Degrees, Method::TERRAIN_MEAN, slope, 0.0);
        ground(
            "terrain.slope.p90",
            "Nine tenths below",
            Unit::Degrees,
            Method::TERRAIN_P90,
            slope + 8.0,
            0.0,
        );
        ground("terrain.slope.max", "Steepest slope", Unit::Degrees, Method::TERRAIN_MAX, slope + 13.0, 0.0);
        ground("terrain.steeper-than-12", "12° and over", Unit::Fraction, Method::TERRAIN_STEEPER, 0.71, 0.0);
        ground("terrain.steeper-than-15", "15° and over", Unit::Fraction, Method::TERRAIN_STEEPER, 0.52, 0.0);
        ground("site.surface-area", "Ground area", Unit::GroundHectares, Method::SURFACE_AREA, 4.8, 0.0);
        for class in 1..=8 {
            let hectares = f64::from(class) * 0.11;
            ground(
                &format!("terrain.class.{class}"),
                "Class",
                Unit::Hectares,
                Method::TERRAIN_CLASS,
                hectares,
                0.0,
            );
        }
        ground("erosion.before", "Soil loss before", Unit::SoilLoss, Method::SOIL_LOSS, loss, 2.6);
        ground("erosion.now", "Soil loss now", Unit::SoilLoss, Method::SOIL_LOSS, loss * 0.18, 2.7);
        ground("erosion.closed-canopy", "Under canopy", Unit::SoilLoss, Method::SOIL_LOSS, loss * 0.02, 3.1);
        ground(
            "erosion.ratio",
            "Soil loss now over before",
            Unit::Fraction,
            Method::SOIL_LOSS_RATIO,
            0.18,
            1.6,
        );
        ground(
            "erosion.kept",
            "Soil kept on the slope",
            Unit::TonnesPerYear,
            Method::SOIL_KEPT,
            loss * 4.4,
            2.5,
        );
        ground("erosion.ls", "Slope factor", Unit::Number, Method::SLOPE_FACTOR_GRID, slope / 3.0, 1.4);
    }
    enter("erosion.r".into(), "Erosivity", Unit::Erosivity, Method::EROSIVITY_GIVEN, 2_400.0, 1.4);
    enter("erosion.k".into(), "Erodibility", Unit::Erodibility, Method::ERODIBILITY_TEXTURE, 0.034, 1.9);
    let (days, mm) = (project.period.from..=project.period.to, Unit::Millimetres);
    ledger.enter(
        FigureId::fixed("rain.period"),
        "Rain of the period",
        mm.clone(),
        rain::total(&project.rain, &days),
    );
    let median = rain::median_of_other_years(&project.rain, &days);
    ledger.enter(FigureId::fixed("rain.median-of-other-years"), "Median of other years", mm.clone(), median);
    for planted in ["2025-08-20", "2025-08-27"] {
        let id = FigureId::fixed(&format!("rain.after-planting.{planted}"));
        let after = rain::after_planting(&project.rain, day(planted));
        ledger.enter(id, format!("Eight weeks after planting on {planted}"), mm.clone(), after);
    }
    let spell = rain::longest_dry_spell(&project.rain, &days).map(|spell| spell.days);
    ledger.enter(FigureId::fixed("rain.longest-dry-spell"), "Longest dry spell, days", Unit::Count, spell);
    Filled { ledger, cells }
}

/// Slope by cell, and a loss that grows with it within the areas.
fn cells(heights: &terrain::Grid, project: &Project) -> CellFigures {
    let slope = terrain::slope(heights);
    let placing = slope.lattice.placing().unwrap();
    let mut before = Raster { lattice: slope.lattice.clone(), values: vec![f32::NAN; slope.values.len()] };
    for area in &project.areas {
        for (row, column) in terrain::centres(&slope.lattice, &placing.area(&area.boundary).unwrap()) {
            let at = row * slope.lattice.columns + column;
            before.values[at] = slope.values[at] * slope.values[at] / 14.0;
        }
    }
    let now = Raster {
        lattice: before.lattice.clone(),
        values: before.values.iter().map(|loss| loss * 0.18).collect(),
    };
    let loss = CellLoss { before: before.into(), now: now.into() };
    CellFigures { slope: slope.into(), breaks: breaks(&SlopeClasses::Practice), loss: Some(loss) }
}
