//! Filling and flow: what must hold on any ground, and an independent computation where hollows don't matter. Hillshade beside
//! `gdaldem hillshade`.

use hillfolio_core::terrain::{
    Grid, Light, coarser, fed_from_beyond, fill_depressions, flow_accumulation, hillshade,
};
use proptest::prelude::*;

use crate::terrain_cases::{grid, surface};

/// Steps to the neighbours, clockwise from the north.
const STEPS: [(isize, isize); 8] = [(-1, 0), (-1, 1), (0, 1), (1, 1), (1, 0), (1, -1), (0, -1), (-1, -1)];

/// The cells that water passes from `cell` until it leaves; panics where it would run for ever.
fn course(grid: &Grid, down: &[u8], mut cell: usize) -> Vec<usize> {
    let mut passed = vec![cell];
    while down[cell] < 8 {
        let (rows, columns) = STEPS[usize::from(down[cell])];
        let row = (cell / grid.lattice.columns).checked_add_signed(rows).unwrap();
        let column = (cell % grid.lattice.columns).checked_add_signed(columns).unwrap();
        assert!(row < grid.lattice.rows && column < grid.lattice.columns, "water leaves sideways");
        cell = row * grid.lattice.columns + column;
        passed.push(cell);
        assert!(passed.len() <= grid.values.len(), "water runs in a ring");
    }
    passed
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    /// Any heights, flats, hollows and holes included: ground is only ever raised, water never climbs, always leaves, and
    /// the area that leaves is all the area there is.
    #[test]
    fn water_from_everywhere_leaves_downhill(heights in prop::collection::vec(-2i8..9, 90)) {
        let mut ground = surface((0.0, 0.0), 2.0, 9, |_, _| 0.0);
        for (value, height) in ground.values.iter_mut().zip(&heights) {
            *value = if *height < -1 { f32::NAN } else { f32::from(*height) };
        }
        let directions = fill_depressions(&ground);
        let down = &directions.down.values;
        for (cell, (before, after)) in ground.values.iter().zip(&directions.filled.values).enumerate() {
            prop_assert_eq!(before.is_nan(), after.is_nan());
            if after.is_nan() {
                prop_assert_eq!(down[cell], 8);
                continue;
            }
            prop_assert!(after >= before);
            let course = course(&ground, down, cell);
            prop_assert!(course.windows(2).all(|pair| directions.filled.values[pair[1]] <= directions.filled.values[pair[0]]));
        }
        let inflow = flow_accumulation(&directions, None);
        let leaving: f32 = (0..81)
            .filter(|&cell| down[cell] == 8 && !ground.values[cell].is_nan())
            .map(|cell| inflow.values[cell] + 4.0)
            .sum();
        let known = ground.values.iter().filter(|value| !value.is_nan()).count();
        prop_assert_eq!(leaving, known as f32 * 4.0);
    }
}

/// By hand: on a plane that falls south the top row may be fed from beyond, and with it everything below, down to a track.
#[test]
fn what_may_be_fed_from_beyond_the_terrain_is_known() {
    let plane = surface((0.0, 0.0), 5.0, 11, |_, y| 100.0 + 0.2 * y);
    let directions = fill_depressions(&plane);
    assert!(fed_from_beyond(&directions, None).iter().all(|fed| *fed));
    let stops: Vec<bool> = (0..121).map(|cell| cell / 11 == 4).collect();
    let fed = fed_from_beyond(&directions, Some(&stops));
    assert!(
        fed[4 * 11 + 5] && !fed[5 * 11 + 5] && !fed[9 * 11 + 5] && fed[7 * 11],
        "the sides are an edge too"
    );
}

/// By hand: means of four, one of a block with a hole, none where three of four are missing.
#[test]
fn larger_cells_are_means() {
    let mut fine = surface((0.0, 0.0), 1.0, 5, |_, _| 0.0);
    for (at, value) in fine.values.iter_mut().enumerate() {
        *value = at as f32;
    }
    fine.values[2] = f32::NAN;
    for at in [10, 11, 15] {
        fine.values[at] = f32::NAN;
    }
    let coarse = coarser(&fine, 2);
    assert_eq!((coarse.lattice.rows, coarse.lattice.columns, coarse.lattice.cell_x), (2, 2, 2.0));
    assert_eq!(coarse.values[..2], [3.0, (3.0 + 7.0 + 8.0) / 3.0]);
    assert!(coarse.values[2].is_nan());
    assert_eq!(coarse.lattice.centre(0, 0), geo::Coord { x: -1.5, y: 1.5 });
}

/// A bowl with a lip of 3 m fills to the lip and no further, and its water leaves over it (by hand).
#[test]
fn a_bowl_fills_to_its_lip() {
    let mut bowl = surface((0.0, 0.0), 1.0, 7, |_, _| 5.0);
    for row in 2..5 {
        bowl.values[row * 7 + 2..row * 7 + 5].fill(1.0);
    }
    bowl.values[3 * 7 + 5] = 3.0;
    bowl.values[3 * 7 + 6] = 2.0;
    let directions = fill_depressions(&bowl);
    for row in 2..5 {
        assert!(directions.filled.values[row * 7 + 2..row * 7 + 5].iter().all(|&height| height == 3.0));
    }
    assert!(
        flow_accumulation(&directions, None).values[3 * 7 + 6] >= 10.0,
        "nine cells of bowl and the lip leave together"
    );
}

/// NumPy's plain D8 on the smoothed volcano, hollows not filled: where no hollow lies upstream the inflow must be the same;
/// the crater, its rim and ties between two equal falls may differ.
#[test]
fn inflow_is_that_of_an_independent_computation() {
    let (heights, expected) =
        (grid("dem_volcano_smooth_10m.asc"), grid("volcano_smooth_d8_upslope_area_m2.asc"));
    let found = flow_accumulation(&fill_depressions(&heights), None);
    let (mut same, mut all) = (0, 0);
    for (found, expected) in
        found.values.iter().zip(&expected.values).filter(|(_, expected)| !expected.is_nan())
    {
        all += 1;
        same += usize::from((found - expected).abs() < 0.5);
    }
    assert!(all > 5000 && same * 100 > all * 85, "{same} of {all}");
}

/// `gdaldem hillshade` (GDAL 3.6.2), light from 315° at 45°: within one step of 255 in every interior cell.
#[test]
fn hillshade_is_that_of_gdaldem() {
    let expected = grid("hillshade-of-volcano_smooth_10m.tif");
    let found = hillshade(&grid("dem_volcano_smooth_10m.asc"), Light::default());
    for (at, (&found, &expected)) in found.values.iter().zip(&expected.values).enumerate() {
        assert_eq!(found == 0, expected.is_nan(), "cell {at}");
        assert!(
            found == 0 || (f32::from(found) - expected).abs() <= 1.0,
            "cell {at}: {found}, not {expected}"
        );
    }
}
