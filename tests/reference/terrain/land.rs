//! Wetness, aspect and topographic position beside general-purpose terrain libraries.

use hillfolio_core::{
    terrain::{
        Grid, aspect, fill_depressions, flow_accumulation, slope, topographic_position, wetness_index,
    },
    units::Metres,
};

use crate::terrain_cases::{grid, surface, text};

/// Side of a cell of the terrain that `land.json` is of, m.
const CELL: f64 = 10.0;

/// The rows of `land.json`: row, column, slope, aspect, TPI of 3 × 3 cells, cells that drain through, wetness index, and in a circle of
/// 50 m TPI, standard deviation, share lower, relief.
fn told() -> Vec<Vec<f64>> {
    let all: serde_json::Value = serde_json::from_str(&text("land.json")).unwrap();
    let rows = all["rows"].as_array().unwrap();
    assert_eq!(rows.len(), 200);
    rows.iter()
        .map(|row| row.as_array().unwrap().iter().map(|value| value.as_f64().unwrap()).collect())
        .collect()
}

fn at(raster: &Grid, row: &[f64]) -> f64 {
    f64::from(raster.at(row[0] as usize, row[1] as usize).unwrap())
}

/// `gdaldem aspect` and `gdaldem slope` (GDAL 3.6.2, Horn).
#[test]
fn aspect_is_that_of_gdaldem() {
    let ground = grid("dem_volcano_smooth_10m.asc");
    let (slope, aspect) = (slope(&ground), aspect(&ground));
    for row in told() {
        assert!((at(&slope, &row) - row[2]).abs() < 0.001, "{row:?}");
        let off = (at(&aspect, &row) - row[3] + 540.0).rem_euclid(360.0) - 180.0;
        assert!(off.abs() < 0.01, "{row:?} {off}");
    }
}

/// Accumulation of pysheds 0.5, ln(a / tan β) with the slope of `gdaldem`.
#[test]
fn wetness_is_that_of_other_libraries() {
    let ground = grid("dem_volcano_smooth_10m.asc");
    let inflow = flow_accumulation(&fill_depressions(&ground), None);
    let wetness = wetness_index(&slope(&ground), &inflow);
    let mut same = 0;
    for row in told() {
        // A cell of which two ways down are equally steep, or into which a filled hollow spills, may be led another way there.
        if (at(&inflow, &row) / (CELL * CELL) + 1.0 - row[5]).abs() < 0.5 {
            same += 1;
            assert!((at(&wetness, &row) - row[6]).abs() < 0.001, "{row:?} {}", at(&wetness, &row));
        }
    }
    assert!(same >= 190, "{same} of 200");
}

/// SciPy's filters over a circle of 50 m, and `gdaldem TPI`, which leaves the cell itself out of the mean of its 3 × 3 cells.
#[test]
fn position_is_that_of_other_libraries() {
    let ground = grid("dem_volcano_smooth_10m.asc");
    let wide = topographic_position(&ground, Metres(50.0));
    // Nine cells: the circle that just reaches the corners.
    let near = topographic_position(&ground, Metres(1.5 * CELL));
    for row in told() {
        assert!((at(&near.index, &row) * 9.0 / 8.0 - row[4]).abs() < 0.001, "{row:?}");
        assert!((at(&wide.index, &row) - row[7]).abs() < 0.001, "{row:?}");
        assert!((at(&wide.index, &row) / at(&wide.deviation, &row) - row[8]).abs() < 0.01, "{row:?}");
        assert!((at(&wide.lower, &row) - row[9]).abs() < 1e-4, "{row:?}");
        assert!((at(&wide.relief, &row) - row[10]).abs() < 0.001, "{row:?}");
    }
}

/// By hand: a plane falls a tenth to the south, so that the k-th cell from the top of a column drains k cells of 5 m: ln(5 k / 0.1).
#[test]
fn wetness_of_a_plane() {
    let plane = surface((0.0, 0.0), 5.0, 21, |_, y| 100.0 + 0.1 * y);
    let wetness = wetness_index(&slope(&plane), &flow_accumulation(&fill_depressions(&plane), None));
    for row in 1..20 {
        let wanted = libm::log(5.0 * (row as f64 + 1.0) / 0.1);
        assert!((at(&wetness, &[row as f64, 10.0]) - wanted).abs() < 1e-3, "{row}");
    }
    // Level ground has an end too.
    let level = surface((0.0, 0.0), 5.0, 21, |_, _| 7.0);
    let wetness = wetness_index(&slope(&level), &flow_accumulation(&fill_depressions(&level), None));
    assert!(at(&wetness, &[10.0, 10.0]).is_finite());
}
