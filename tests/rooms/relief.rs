//! Maps of the ground, drawn on a hill made of smooth functions: slope and soil loss.

use hillfolio::{
    draw::map::{self, backdrop, sheet::Map},
    estimate::terrain::breaks,
    ledger::{self, CellFigures, CellLoss, Ledger},
    project::{Ground, Project, SlopeClasses},
    terrain::{self, Raster},
};

use crate::support::{hill, small_project};

/// The small project on a hill.
pub(crate) fn on_a_hill() -> Project {
    Project { ground: Some(Ground { heights: hill(), file: "terrain.tif".into() }), ..small_project() }
}

/// Its ledger with figures by cell, were they not filled.
pub(crate) fn ledger_of(project: &Project) -> Ledger {
    let mut ledger = ledger::fill(project);
    if ledger.cells.as_ref().is_none_or(|cells| cells.loss.is_none()) {
        ledger.cells = project.ground.as_ref().map(|ground| cells(&ground.heights, project));
    }
    ledger
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
    CellFigures { slope, breaks: breaks(&SlopeClasses::Practice), loss: Some(CellLoss { before, now }) }
}

#[test]
fn look() {
    let project = on_a_hill();
    let ledger = ledger_of(&project);
    for map in map::sheets(&project, &ledger) {
        if let Ok(folder) = std::env::var("LOOK") {
            std::fs::write(format!("{folder}/{}.svg", map.drawing.name), &map.drawing.svg).unwrap();
        }
        println!("{} {} {:?}", map.drawing.name, map.drawing.svg.len(), map.drawing.size_mm);
    }
}
