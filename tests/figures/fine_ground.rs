//! Ground surveyed by the metre: what the plan does with it is bounded, however rough a survey it is.

use std::{collections::BTreeMap, sync::Arc};

use geo::{CoordsIter, MultiPolygon, Point, Polygon};
use hillfolio_core::{
    geometry,
    plan::{Modelled, WorkingGround, plantable, steep_ground},
    project::{Area, AreaId, PlantingDesign},
    terrain::{Coordinates, Grid, Lattice, slope},
    units::{Degrees, Metres},
};

use crate::support::row;

/// Twice the knots that an outline of steep ground is traced over at the most: `MOST_KNOTS` of the module `steep`.
const MOST_CORNERS: usize = 500_000;

/// A ridge (rise below nought) or a gully of 600 × 600 m by cells of so many metres, with hummocks and with noise of ±0.15 m such as
/// laser surveys through grass have.
fn surveyed(cell: f64, rise: f64) -> Grid {
    let (x, y) = geometry::Grid::of_epsg(7855).unwrap().to_grid(Point::new(148.0, -36.0)).unwrap();
    let side = (600.0 / cell) as usize;
    let lattice = Lattice {
        west: x - 300.0,
        north: y + 300.0,
        cell_x: cell,
        cell_y: cell,
        rows: side,
        columns: side,
        coordinates: Coordinates::Projected { metres_per_unit: 1.0 },
        crs: hillfolio_core::geometry::Crs::of_epsg(7855),
    };
    let height = |row: usize, column: usize| {
        let at = lattice.centre(row, column);
        let (east, north) = (at.x - x, at.y - y);
        let across = (east - 40.0 * libm::sin(north / 90.0)).abs();
        let chance = libm::sin((row * 7_919 + column * 104_729) as f64) * 43_758.547;
        let noise = 0.3 * (chance - chance.floor() - 0.5);
        let hummocks = 3.0 * libm::sin(east / 35.0) * libm::cos(north / 28.0);
        (400.0 + rise * across + 0.07 * north + hummocks + noise) as f32
    };
    let values = (0..side * side).map(|at| height(at / side, at % side)).collect();
    Grid { values, lattice }
}

/// 20 ha about the middle.
fn area() -> Area {
    let plane = geometry::Plane::about(Point::new(148.0, -36.0));
    let half = f64::sqrt(200_000.0) / 2.0;
    let corner = |(x, y): (f64, f64)| plane.position(geo::Coord { x: x * half, y: y * half }).0;
    let ring = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(corner);
    Area {
        id: AreaId("Spur".into()),
        boundary: MultiPolygon(vec![Polygon::new(ring.into_iter().collect(), Vec::new())]),
        stated_hectares: None,
        stated_as: None,
        frosty: false,
        dry: false,
        waterlogged: false,
        note: None,
        source: row("areas.geojson", 1),
    }
}

fn design() -> PlantingDesign {
    PlantingDesign {
        areas: None,
        spacing: Metres(4.0),
        stem_spacing: Metres(2.0),
        strip: Some(Metres(2.0)),
        machine_rate: None,
        hand_rate: None,
        setback: BTreeMap::new(),
        pattern: Vec::new(),
        steepest: Some(Degrees(18.0)),
        exposed: None,
        stagger: true,
    }
}

/// Corners that are handed on are counted, not time, so that it holds on any machine; rough as the survey is, they stay within the bound
/// even at its own cells.
#[test]
fn a_fine_survey_of_a_ridge_and_of_a_gully_is_worked_within_bounds() {
    for (cell, rise) in [(1.0, -0.28), (1.0, 0.3), (2.0, -0.28), (2.0, 0.3)] {
        let heights = Arc::new(surveyed(cell, rise));
        let ground = WorkingGround::of(&heights, Metres(4.0));
        assert_eq!(ground.cell, Metres(2.0));
        assert_eq!(ground.change.0 > 0.0, cell < 2.0, "{:?}", ground.change);
        assert!(ground.change.0 < 0.12, "{:?}", ground.change);
        let model = Modelled { heights: &ground.heights, slope: &ground.slope };
        let left = plantable(&area(), &[], &design(), Some(model));
        let whole = left.hectares.0 + left.taken_out.iter().map(|taken| taken.hectares.0).sum::<f64>();
        assert!((whole - 20.0).abs() < 0.01, "{whole} ha");
        assert!(left.taken_out[0].hectares.0 > 1.0, "some of it is steep: {:?}", left.taken_out[0].hectares);
        let all = left.ground.clone();
        let bands = [12.0, 15.0]
            .map(|limit| steep_ground(&all, &left.plane, &ground.slope, Degrees(limit)).coords_count());
        let corners = left.ground.coords_count() + bands.iter().sum::<usize>();
        assert!(corners < MOST_CORNERS / 5, "{corners} corners at {cell} m");
        if cell < 2.0 {
            let own = slope(&heights);
            let rough = steep_ground(&all, &left.plane, &own, Degrees(15.0)).coords_count();
            assert!(rough <= MOST_CORNERS, "{rough} corners at the survey's own cells");
        }
    }
}
