//! Slope, aspect, slope classes and surface area against GDAL, an independent computation and exact geometry.

use hillfolio_core::{
    terrain::{
        Raster, aspect, centres, class_shares, coverage, slope, slope_and_aspect, summary, surface_ratio,
    },
    units::Degrees,
};

use crate::terrain_cases::{bounds_of, case, cases, grid, numbers, site, surface};

/// `gdaldem slope` (GDAL 3.6.2, Horn), stored to 0.001°: every interior cell of four terrains within 0.01°, and the same
/// cells without a slope.
#[test]
fn slope_is_that_of_gdaldem_in_every_cell() {
    for (terrain, slopes) in [
        ("dem_volcano_10m.asc", "slope-of-volcano_10m.tif"),
        ("dem_volcano_smooth_10m.asc", "slope-of-volcano_smooth_10m.tif"),
        ("dem_jacksboro_crop_utm16n.asc", "slope-of-jacksboro_crop_utm16n.tif"),
        ("dem_jacksboro_utm16n_90m.tif", "slope-of-jacksboro_utm16n_90m.tif"),
    ] {
        let (found, expected) = (slope(&grid(terrain)), grid(slopes));
        assert_eq!(found.values.len(), expected.values.len());
        for (at, (found, expected)) in found.values.iter().zip(&expected.values).enumerate() {
            assert_eq!(found.is_nan(), expected.is_nan(), "{terrain} cell {at}");
            assert!(
                found.is_nan() || (found - expected / 1000.0).abs() < 0.01,
                "{terrain} cell {at}: {found}"
            );
        }
    }
}

/// Statistics over all interior cells and sixty cells drawn at random, by NumPy in double precision and `gdaldem`.
#[test]
fn slope_and_aspect_match_an_independent_computation() {
    for (id, case) in cases("slope_aspect") {
        let grid = grid(case["input"][0].as_str().unwrap());
        let (slope, aspect) = slope_and_aspect(&grid);
        let interior = &case["expected"]["interior_only"];
        let known: Vec<f64> =
            slope.values.iter().filter(|value| !value.is_nan()).map(|&v| f64::from(v)).collect();
        assert_eq!(known.len() as u64, interior["cells_with_slope"].as_u64().unwrap(), "{id}");
        let mean = known.iter().sum::<f64>() / known.len() as f64;
        assert!((mean - interior["mean_deg"].as_f64().unwrap()).abs() < 1e-4, "{id}: {mean}");
        let max = known.iter().copied().fold(0.0, f64::max);
        assert!((max - interior["max_deg"].as_f64().unwrap()).abs() < 1e-3, "{id}: {max}");
        for cell in case["expected"]["cells"].as_array().unwrap() {
            let at = |name: &str| cell[name].as_u64().unwrap() as usize;
            let (row, column) = (at("row"), at("col"));
            let close = |found: f32, name: &str, by: f64| match cell[name].as_f64() {
                None => assert!(found.is_nan(), "{id} {row} {column}: {name} {found}"),
                Some(expected) => {
                    assert!((f64::from(found) - expected).abs() < by, "{id} {row} {column}: {name}")
                }
            };
            close(grid.at(row, column).unwrap(), "z", 1e-3);
            close(slope.at(row, column).unwrap(), "slope_deg", 0.001);
            close(aspect.at(row, column).unwrap(), "aspect_deg", 0.02);
        }
    }
}

/// Trigonometry: planes of 15° and 32° are that steep in every interior cell, and no class but their own holds any of them.
#[test]
fn tilted_planes_are_as_steep_as_they_were_made() {
    for (id, degrees, azimuth) in
        [("synthetic/plane15", 15.0_f64, 120.0_f64), ("synthetic/plane32", 32.0, 315.0)]
    {
        let case = case(id);
        let rise = libm::tan(degrees.to_radians());
        let (east, north) = (libm::sin(azimuth.to_radians()), libm::cos(azimuth.to_radians()));
        let bounds = numbers(&case["params"]["polygon_bounds"]);
        let cell = case["params"]["cell_m"].as_f64().unwrap();
        let centre = ((bounds[0] + bounds[2]) / 2.0, (bounds[1] + bounds[3]) / 2.0);
        let grid = surface(centre, cell, 80, |x, y| 200.0 - rise * (x * east + y * north));
        let (slope, aspect) = slope_and_aspect(&grid);
        assert_eq!(slope.values.iter().filter(|value| !value.is_nan()).count(), 78 * 78);
        assert!(slope.values.iter().all(|&one| one.is_nan() || (f64::from(one) - degrees).abs() < 0.001));
        assert!(aspect.values.iter().all(|&one| one.is_nan() || (f64::from(one) - azimuth).abs() < 0.01));

        let site = bounds_of(&bounds);
        let covered = coverage(&grid.lattice, &site);
        let plan = case["expected"]["polygon_area_m2"].as_f64().unwrap();
        assert!((covered.held() * cell * cell / plan - 1.0).abs() < 1e-9);
        let ratio = surface_ratio(&grid);
        let ground: f64 =
            covered.cells().map(|(r, c, share)| share * f64::from(ratio.at(r, c).unwrap())).sum();
        let expected = case["expected"]["surface_area_m2"].as_f64().unwrap();
        assert!((ground * cell * cell / expected - 1.0).abs() < 1e-5, "{ground}");

        // A slope on a break goes to the steeper class.
        let shares = class_shares(&slope, &covered, &[5.0, degrees, 40.0].map(Degrees));
        assert!((shares.shares[2] - 1.0).abs() < 1e-9 && shares.unknown < 1e-9, "{shares:?}");
    }
}

/// Exact: on z = 50 + 0.001 r² the slope is atan(0.002 r), so a class is a ring; the ground over a disc is by integration.
#[test]
fn a_bowl_has_its_exact_slopes_classes_and_ground() {
    let case = case("synthetic/paraboloid");
    let grid = surface((600_352.5, 4_000_352.5), 5.0, 141, |x, y| 50.0 + 0.001 * (x * x + y * y));
    let (slope, aspect) = (slope(&grid), aspect(&grid));
    for cell in case["expected"]["cells"].as_array().unwrap() {
        let (row, column) = (cell["row"].as_u64().unwrap() as usize, cell["col"].as_u64().unwrap() as usize);
        let found = (slope.at(row, column).unwrap(), aspect.at(row, column).unwrap());
        assert!((f64::from(found.0) - cell["slope_deg"].as_f64().unwrap()).abs() < 0.001, "{cell}");
        assert!((f64::from(found.1) - cell["aspect_deg"].as_f64().unwrap()).abs() < 0.01, "{cell}");
    }
    let ring = (0..3600).map(|step| {
        let angle = f64::from(step).to_radians() / 10.0;
        (600_352.5 + 300.0 * libm::cos(angle), 4_000_352.5 + 300.0 * libm::sin(angle))
    });
    let disc = geo::MultiPolygon(vec![geo::Polygon::new(ring.collect(), vec![])]);
    let covered = coverage(&grid.lattice, &disc);
    let shares = class_shares(&slope, &covered, &[5.0, 10.0, 15.0, 20.0, 25.0].map(Degrees));
    let exact = numbers(&case["expected"]["slope_class_area_exact_m2"]);
    let plan: f64 = exact.iter().sum();
    assert!((covered.held() * 25.0 / plan - 1.0).abs() < 1e-5);
    let within = case["tolerance"]["class_area_abs_m2_vs_exact"].as_f64().unwrap();
    for (share, exact) in shares.shares.iter().zip(&exact) {
        assert!((share * plan - exact).abs() < within, "{} {exact}", share * plan);
    }
    let ratio = surface_ratio(&grid);
    let ground: f64 =
        covered.cells().map(|(r, c, share)| share * 25.0 * f64::from(ratio.at(r, c).unwrap())).sum();
    let exact = case["expected"]["surface_area_exact_m2"].as_f64().unwrap();
    assert!((ground / exact - 1.0).abs() < 2e-4, "{ground} {exact}");
}

/// Class areas by the exact share of every cell (GEOS) and by cell centres (GDAL's rasterizing), over sites with holes, in
/// parts, over nodata and reaching beyond the terrain; within 0.1 %, and 0.5 m² where a class is all but empty. Cells that a
/// hundred-thousandth of a degree would move to the next class are allowed for, as the reference lists them.
#[test]
fn class_areas_match_geos_and_gdal() {
    for (id, case) in cases("slope_class_area") {
        let grid = grid(case["input"][0].as_str().unwrap());
        let (slope, site) = (slope(&grid), site(&case, &grid));
        let breaks: Vec<Degrees> =
            numbers(&case["params"]["breaks_deg"])[1..].iter().map(|&b| Degrees(b)).collect();
        let breaks = &breaks[..breaks.len() - 1];
        let covered = coverage(&grid.lattice, &site);
        let cell = grid.lattice.cell_area(0).0;
        let expected = &case["expected"];
        let plan = expected["polygon_area_m2"].as_f64().unwrap();
        let close = |found: f64, expected: f64, slack: f64, what: &str| {
            assert!(
                (found - expected).abs() <= (1e-3 * expected).max(0.5) + slack,
                "{id} {what}: {found}, not {expected}"
            );
        };
        close(covered.whole * cell, plan, 0.0, "plan");
        close(
            covered.held() * cell,
            expected["polygon_area_on_grid_m2"].as_f64().unwrap(),
            0.0,
            "on the grid",
        );
        let slack = |rule: &str| case["tolerance"]["abs_m2"][rule].as_f64().unwrap();
        let shares = class_shares(&slope, &covered, breaks);
        for (share, area) in shares.shares.iter().zip(numbers(&expected["area_weighted_m2"])) {
            close(share * plan, area, slack("area_weighted"), "class");
        }
        let without = plan - expected["polygon_area_on_grid_m2"].as_f64().unwrap()
            + expected["area_weighted_no_slope_m2"].as_f64().unwrap();
        close(shares.unknown * plan, without, 1e-6 * plan, "no slope");

        let mut by_centre = vec![0.0; breaks.len() + 1];
        let inside = centres(&grid.lattice, &site);
        assert_eq!(inside.len() as u64, expected["cells_centre_rule"].as_u64().unwrap(), "{id}");
        for &(row, column) in &inside {
            let slope = slope.at(row, column).unwrap();
            if !slope.is_nan() {
                by_centre[hillfolio_core::terrain::class_of(Degrees(f64::from(slope)), breaks)] += cell;
            }
        }
        for (found, area) in by_centre.iter().zip(numbers(&expected["cell_centre_m2"])) {
            close(*found, area, slack("cell_centre"), "class by centres");
        }
        let surface = surface_ratio(&grid);
        let of_cell =
            |(r, c, share): (usize, usize, f64)| share * cell * f64::from(surface.at(r, c).unwrap());
        let ground: f64 = covered.cells().map(of_cell).filter(|area| !area.is_nan()).sum();
        // The reference divides each cell by the cosine of its slope; Jenness's eight triangles also see the roughness within.
        let expected = expected["surface_area_m2"].as_f64().unwrap();
        assert!(ground > 0.998 * expected && ground < 1.03 * expected, "{id}: {ground} {expected}");
        assert!(summary(&slope, &site).unwrap().max <= 90.0);
    }
}

/// rasterio and NumPy with metric cells at the middle latitude; taking degrees for metres would give 89.8°.
#[test]
fn a_grid_in_degrees_has_slopes_in_metres() {
    let case = case("slope/jacksboro_geographic");
    let grid = grid("dem_jacksboro_4326.tif");
    assert_eq!(grid.lattice.epsg(), Some(4326));
    let known: Vec<f64> =
        slope(&grid).values.iter().filter(|value| !value.is_nan()).map(|&one| f64::from(one)).collect();
    let mean = known.iter().sum::<f64>() / known.len() as f64;
    let expected = case["expected"]["mean_slope_with_local_metric_cells_deg"].as_f64().unwrap();
    assert!((mean - expected).abs() < 0.05, "{mean}, not {expected}");
}

/// By hand: the same layers with one thread and with four.
#[test]
fn threads_change_no_byte() {
    let grid = grid("dem_jacksboro_utm16n_90m.tif");
    let layers = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| {
            let filled = hillfolio_core::terrain::fill_depressions(&grid);
            let bits =
                |raster: Raster<f32>| raster.values.iter().map(|value| value.to_bits()).collect::<Vec<_>>();
            (
                bits(slope(&grid)),
                bits(hillfolio_core::terrain::flow_accumulation(&filled, None)),
                hillfolio_core::terrain::hillshade(&grid, hillfolio_core::terrain::Light::default()).values,
                hillfolio_core::terrain::contours(
                    &grid,
                    &hillfolio_core::terrain::levels((200.0, 1100.0), 20.0),
                ),
            )
        })
    };
    assert!(layers(1) == layers(4));
}
