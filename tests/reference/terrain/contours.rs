//! Contour lines against exact geometry, contourpy and `gdal_contour`.

use geo::{BooleanOps, Euclidean, Length, MultiLineString, MultiPolygon};
use hillfolio_core::terrain::{Contour, Grid, Level, contours, levels, refined};
use proptest::prelude::*;

use crate::terrain_cases::{cases, grid, site, surface};

fn level(height: f64) -> Level {
    Level { height, index: false }
}

fn inside(site: &MultiPolygon<f64>, lines: &[Contour]) -> f64 {
    let lines = MultiLineString(lines.iter().map(|one| one.line.clone()).collect());
    Euclidean.length(&site.clip(&lines, false))
}

/// contourpy 1.3 and `gdal_contour`; they differ in saddle cells only, and each row says by how much it may be off.
#[test]
fn lengths_within_sites_match_contourpy_and_gdal() {
    let mut rows = 0;
    for (id, case) in cases("contour") {
        let grid = grid(case["input"][0].as_str().unwrap());
        let site = site(&case, &grid);
        for row in case["expected"]["rows"].as_array().unwrap() {
            let height = row["level_m"].as_f64().unwrap();
            let found = inside(&site, &contours(&grid, &[level(height)]));
            let expected = row["length_in_polygon_m"].as_f64().unwrap();
            let saddles = row["saddle_cells_in_polygon"].as_u64().unwrap() > 0;
            let within = if saddles { row["tolerance_m"].as_f64().unwrap() } else { 0.005 * expected + 0.01 };
            assert!((found - expected).abs() <= within, "{id} {height} m: {found}, not {expected}");
            rows += 1;
        }
    }
    assert!(rows > 20);
}

/// Exact: on a cone of 1 in 2 the contours are circles.
#[test]
fn a_cone_has_round_contours() {
    let cone = surface((300_302.5, 6_200_302.5), 5.0, 121, |x, y| 200.0 - 0.5 * libm::hypot(x, y));
    for (height, radius) in [(170.0, 60.0), (150.0, 100.0), (110.0, 180.0), (90.0, 220.0)] {
        let lines = contours(&cone, &[level(height)]);
        assert_eq!(lines.len(), 1, "{height}");
        assert!(lines[0].closed);
        let length = Euclidean.length(&lines[0].line);
        assert!((length / (std::f64::consts::TAU * radius) - 1.0).abs() < 0.003, "{height}: {length}");
    }
}

/// A ramp: one open line a level, straight across, none along the border; round a hole the lines end.
#[test]
fn nothing_is_drawn_along_borders_and_holes() {
    let mut ramp = surface((0.0, 0.0), 10.0, 20, |x, _| x);
    let lines = contours(&ramp, &levels((-95.0, 95.0), 20.0));
    assert_eq!(lines.len(), 9);
    for line in &lines {
        assert!(!line.closed);
        assert!((Euclidean.length(&line.line) - 190.0).abs() < 1e-6);
        assert!(line.line.coords().all(|place| (place.x - line.level.height).abs() < 1e-6));
    }
    for row in 8..12 {
        ramp.values[row * 20 + 8..row * 20 + 12].fill(f32::NAN);
    }
    let lines = contours(&ramp, &[level(2.0)]);
    assert_eq!(lines.len(), 2, "the line stops at the hole and goes on behind it");
    assert!(lines.iter().all(|line| !line.closed && (Euclidean.length(&line.line) - 70.0).abs() < 1e-6));
}

/// The volcano's contours on a grid four times finer and smoothed: as long as before within 3 %, and no two cross.
#[test]
fn smoothed_lines_stay_close_and_never_cross() {
    let grid = grid("dem_volcano_smooth_10m.asc");
    let fine = refined(&grid, &grid.lattice.whole(), 4);
    let length = |grid: &Grid| {
        let lines = contours(grid, &levels((100.0, 190.0), 5.0));
        lines.iter().map(|line| Euclidean.length(&line.line)).sum::<f64>()
    };
    assert!((length(&fine) / length(&grid) - 1.0).abs() < 0.03, "{} {}", length(&fine), length(&grid));
    none_cross(&contours(
        &fine.within(&hillfolio_core::terrain::Window { rows: 60..130, columns: 60..130 }),
        &levels((95.0, 195.0), 2.0),
    ));
}

fn none_cross(lines: &[Contour]) {
    use geo::line_intersection::{LineIntersection, line_intersection};
    let edges: Vec<(f64, geo::Line<f64>)> =
        lines.iter().flat_map(|one| one.line.lines().map(|edge| (one.level.height, edge))).collect();
    for (at, (height, edge)) in edges.iter().enumerate() {
        for (other_height, other) in &edges[at + 1..] {
            if height != other_height
                && let Some(LineIntersection::SinglePoint { is_proper: true, intersection }) =
                    line_intersection(*edge, *other)
            {
                panic!("{height} m crosses {other_height} m at {intersection:?}");
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    /// Any heights, holes included: no two levels cross, and every line is closed or ends at the border or a hole.
    #[test]
    fn any_ground_gives_lines_that_do_not_cross(heights in prop::collection::vec(-3i8..12, 64)) {
        let mut ground = surface((0.0, 0.0), 1.0, 8, |_, _| 0.0);
        for (value, height) in ground.values.iter_mut().zip(&heights) {
            *value = if *height < -1 { f32::NAN } else { f32::from(*height) };
        }
        let lines = contours(&ground, &levels((-1.0, 12.0), 0.5));
        none_cross(&lines);
        let holes = ground.values.iter().any(|value| value.is_nan());
        for line in lines.iter().filter(|line| !line.closed && !holes) {
            for end in [line.line.0.first(), line.line.0.last()].into_iter().flatten() {
                let rim = |at: f64| (at.abs() - 3.5).abs() < 1e-9;
                prop_assert!(rim(end.x) || rim(end.y), "{end:?}");
            }
        }
        for line in lines.iter().filter(|line| line.closed) {
            prop_assert_eq!(line.line.0.first(), line.line.0.last());
        }
    }
}
