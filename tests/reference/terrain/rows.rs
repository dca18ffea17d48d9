//! Rows on the contour against exact solutions and on real ground, and the arithmetic of rows, stems and seed against hand-worked
//! examples.

use geo::{Coord, LineString, MultiPolygon, Point, Rect};
use hillfolio_core::{
    geometry::Plane,
    plan::{
        Asked, RowQuality, SeedLot, Spread, Surface, as_measured, assured, before_loss, contour_rows,
        ground_about, guided_rows, largest_remainder, readings, row_quality, spread, stems_in,
    },
    terrain::Grid,
    units::{Degrees, Metres, Share, Stems},
};

use crate::terrain_cases::grid;

const SPACING: Metres = Metres(4.0);

fn asked(spacing: Metres) -> Asked {
    Asked { spacing, shortest: Metres(10.0) }
}

fn square(half: f64) -> MultiPolygon<f64> {
    MultiPolygon(vec![Rect::new((-half, -half), (half, half)).to_polygon()])
}

fn made(half: f64, height: impl Fn(Coord<f64>) -> f64) -> Surface {
    let corner = Coord { x: half, y: half };
    Surface::over((-corner, corner), Metres(2.0), |place| Some(height(place)))
}

/// Rows that cross themselves or one another.
fn crossings(rows: &[LineString<f64>]) -> usize {
    use geo::algorithm::sweep::Intersections;
    let lines: Vec<geo::Line<f64>> = rows.iter().flat_map(|row| row.lines()).collect();
    let proper = Intersections::<_>::from_iter(lines).filter(|(.., met)| {
        matches!(met, geo::line_intersection::LineIntersection::SinglePoint { is_proper: true, .. })
    });
    proper.count()
}

/// Exact solution: on a plane of slope 1 in 4 rows are straight, level lines, 4 cos θ m of plan apart.
#[test]
fn on_a_plane_rows_are_straight_level_and_as_far_apart_as_asked() {
    let (east, north) = (0.2, 0.15);
    let steepness = libm::hypot(east, north);
    let ground = made(160.0, |at| 300.0 + east * at.x + north * at.y);
    let planted = square(100.0);
    let rows = contour_rows(&ground, &planted, &asked(SPACING));
    let apart = SPACING.0 / libm::hypot(1.0, steepness);
    // Down the slope the square is (0.2 + 0.15) / 0.25 × 200 m long; the two corners hold rows under 10 m.
    let across = 200.0 * (east + north) / steepness;
    assert!((rows.len() as f64 - across / apart).abs() <= 4.0, "{} rows over {across} m", rows.len());
    let down = |at: &Coord<f64>| -(east * at.x + north * at.y) / steepness;
    for (row, next) in rows.iter().zip(&rows[1..]) {
        for corner in &row.0 {
            assert!((down(corner) - down(&row.0[0])).abs() < 0.01 * apart, "row bends");
        }
        let gap = down(&next.0[0]) - down(&row.0[0]);
        assert!((gap / apart - 1.0).abs() < 0.01, "{gap} m of plan, not {apart}");
    }
    let spread = spread(&readings(&ground, &rows, SPACING, &planted), SPACING).unwrap();
    assert!(spread.spacing.iter().all(|gap| (gap.0 / SPACING.0 - 1.0).abs() < 0.01), "{spread:?}");
    assert!(spread.grade_max.0 < 0.1, "{spread:?}");
}

/// Exact solution: on a cone rows are circles about its axis, 4 cos θ m of plan apart.
#[test]
fn on_a_cone_rows_are_circles_as_far_apart_as_asked() {
    let steepness = 0.27;
    let ground = made(160.0, |at| 500.0 - steepness * libm::hypot(at.x, at.y)).smoothed(Metres(5.0));
    let planted = square(100.0);
    let rows = contour_rows(&ground, &planted, &asked(SPACING));
    let apart = SPACING.0 / libm::hypot(1.0, steepness);
    let radius = |at: &Coord<f64>| libm::hypot(at.x, at.y);
    // Smoothing blunts the tip; beyond two dozen metres of it nothing is left of that.
    let mut radii: Vec<f64> = Vec::new();
    for row in rows.iter().filter(|row| radius(&row.0[0]) > 25.0) {
        let own: Vec<f64> = row.0.iter().map(radius).collect();
        let mean = own.iter().sum::<f64>() / own.len() as f64;
        assert!(own.iter().all(|radius| (radius - mean).abs() < 0.02 * apart), "not a circle: {own:?}");
        radii.push(mean);
    }
    radii.sort_by(f64::total_cmp);
    // Beyond the square's sides a circle comes in four arcs.
    radii.dedup_by(|one, other| (*one - *other).abs() < 0.2 * apart);
    assert!(radii.len() > 25);
    for pair in radii.windows(2) {
        assert!(((pair[1] - pair[0]) / apart - 1.0).abs() < 0.01, "{pair:?} apart, not {apart}");
    }
    assert_eq!(crossings(&rows), 0);
}

/// The part of a terrain from `from` to `to`, shares of its width and height from the south-west, and rows over it.
fn laid(grid: &Grid, from: (f64, f64), to: (f64, f64), spacing: Metres) -> Laid {
    let lattice = &grid.lattice;
    let place = |(east, north): (f64, f64)| {
        let x = lattice.west + east * lattice.columns as f64 * lattice.cell_x;
        let y = lattice.north - (1.0 - north) * lattice.rows as f64 * lattice.cell_y;
        lattice.placing().unwrap().position(Coord { x, y }).unwrap()
    };
    let middle = place(((from.0 + to.0) / 2.0, (from.1 + to.1) / 2.0));
    let plane = Plane::about(middle);
    let (south_west, north_east): (Point<f64>, Point<f64>) = (place(from), place(to));
    let planted = MultiPolygon(vec![Rect::new(plane.xy(south_west), plane.xy(north_east)).to_polygon()]);
    let ground = ground_about(&planted, &plane, grid, spacing).unwrap();
    let rows = contour_rows(&ground, &planted, &asked(spacing));
    let spread = spread(&readings(&ground, &rows, spacing, &planted), spacing).unwrap();
    let mut laid = Laid { smoothing: ground.smoothing(), rows, spread, came: None, plane, planted, spacing };
    laid.came = Some(laid.on(grid));
    laid
}

struct Laid {
    smoothing: Metres,
    rows: Vec<LineString<f64>>,
    spread: Spread,
    came: Option<RowQuality>,
    plane: Plane,
    planted: MultiPolygon<f64>,
    spacing: Metres,
}

impl Laid {
    /// The rows on a model's own heights, unsmoothed.
    fn on(&self, grid: &Grid) -> RowQuality {
        let measured = as_measured(&self.rows, &self.planted, (grid, &self.plane), self.spacing).unwrap();
        row_quality([measured].iter(), self.spacing).unwrap()
    }
}

/// What shares of the length must at least be: within 15 % of the spacing and under 2 % of grade on the ground the rows were laid
/// on, the same on the model's own heights.
struct Least {
    spaced: f64,
    level: f64,
    spaced_unsmoothed: f64,
    level_from_peg_to_peg: f64,
}

fn must_hold(grid: &Grid, (from, to): ((f64, f64), (f64, f64)), spacing: Metres, least: Least) {
    let laid = laid(grid, from, to, spacing);
    let (rows, spread, came) = (&laid.rows, &laid.spread, laid.came.unwrap());
    let said = format!("{} rows, {spread:?}, {came:?}, smoothed by {:?}", rows.len(), laid.smoothing);
    assert!(spread.spaced.part() >= least.spaced, "{said}");
    assert!(spread.level.part() >= least.level, "{said}");
    assert!(came.pieces.spaced.part() >= least.spaced_unsmoothed, "{said}");
    assert!(came.level.part() >= least.level_from_peg_to_peg, "{said}");
    assert!(spread.measured.part() >= 0.9, "{said}");
    assert!((spread.spacing[1].0 / spacing.0 - 1.0).abs() < 0.01, "{said}");
    assert_eq!(crossings(rows), 0, "{said}");
}

/// A crater with its rim and passes and the spurs about it, 47 ha; heights in whole metres, 10 m cells. Rounding alone gives a level
/// row grades of ±3.3 %: on the heights as they stand nothing can be seen of levelness.
#[test]
fn rows_hold_their_spacing_on_a_volcano() {
    let grid = grid("dem_volcano_10m.asc");
    let least = Least { spaced: 0.95, level: 0.95, spaced_unsmoothed: 0.88, level_from_peg_to_peg: 0.40 };
    must_hold(&grid, ((0.03, 0.03), (0.97, 0.97)), Metres(4.0), least);
}

/// The flank of the same volcano, smoothed, 13 ha: levelness and spacing on the model's own heights, unsmoothed.
#[test]
fn rows_hold_their_spacing_on_its_flank() {
    let grid = grid("dem_volcano_smooth_10m.asc");
    let least = Least { spaced: 0.95, level: 0.945, spaced_unsmoothed: 0.95, level_from_peg_to_peg: 0.94 };
    must_hold(&grid, ((0.05, 0.05), (0.5, 0.5)), Metres(4.0), least);
}

/// The same with heights rounded to whole metres before rows are laid: the ground is known, and what is smoothed away is what rounding
/// made of it, not the ground. Rows are read on the heights before rounding.
#[test]
fn rows_on_rounded_heights_are_nearly_level_on_the_ground_before_rounding() {
    let truth = grid("dem_volcano_smooth_10m.asc");
    let mut rounded = truth.clone();
    rounded.values.iter_mut().for_each(|height| *height = height.round());
    let laid = laid(&rounded, (0.05, 0.05), (0.5, 0.5), Metres(4.0));
    let (shown, real) = (laid.came.unwrap(), laid.on(&truth));
    let said = format!("{shown:?} {real:?} smoothed by {:?}", laid.smoothing);
    assert!((shown.by_rounding.0 - 100.0 / 30.0).abs() < 1e-9, "{said}");
    assert!((5.0..9.0).contains(&laid.smoothing.0), "{said}");
    assert!(real.level.part() > 0.70 && real.pieces.spaced.part() > 0.95, "{said}");
    // The rounded heights themselves make the rows look far worse than they are.
    assert!(shown.level.part() < real.level.part() - 0.15, "{said}");
}

/// Ridges and valleys of the Cumberland Mountains, 90 m cells: 14 and 5 ha.
#[test]
fn rows_hold_their_spacing_in_the_mountains() {
    let grid = grid("dem_jacksboro_crop_utm16n.asc");
    let least = || Least { spaced: 0.95, level: 0.95, spaced_unsmoothed: 0.95, level_from_peg_to_peg: 0.95 };
    must_hold(&grid, ((0.20, 0.20), (0.235, 0.23)), Metres(5.0), least());
    must_hold(&grid, ((0.70, 0.60), (0.72, 0.62)), Metres(4.0), least());
}

/// Ground that nothing was tuned on: 18 ha of gentle forest floor surveyed to the centimetre, 5 m cells. Half of it slopes by less
/// than 4°, where a bend of the ground opens the contours most.
#[test]
fn rows_come_out_on_held_out_gentle_ground() {
    let grid = grid("../../gpl-data/dem_barro_colorado_5m.asc");
    let least = Least { spaced: 0.90, level: 0.97, spaced_unsmoothed: 0.89, level_from_peg_to_peg: 0.95 };
    must_hold(&grid, ((0.09, 0.1), (0.9, 0.9)), Metres(4.0), least);
}

/// Ground that nothing was tuned on: two parts of 30 ha of a steep, broken mountainside (half of it over 23°), 31 m cells, whole metres.
#[test]
fn rows_come_out_on_held_out_steep_ground() {
    let grid = grid("../../gpl-data/dem_kagwene_31m.asc");
    let least = || Least { spaced: 0.92, level: 0.91, spaced_unsmoothed: 0.91, level_from_peg_to_peg: 0.60 };
    must_hold(&grid, ((0.1, 0.1), (0.36, 0.38)), Metres(4.0), least());
    must_hold(&grid, ((0.64, 0.56), (0.9, 0.84)), Metres(4.0), least());
}

fn share(part: f64) -> Share {
    Share::new(part).unwrap()
}

/// Trigonometry: a plan distance of 3 m at 20° takes 3.1925 m of tape; 120 × 80 m of plan at 20° with rows 3 m apart on the slope
/// and stems 1.8 m apart is 29 rows of 67 stems; with margins of 1.5 m of plan above and below and 0.9 m at the ends 28 of 66.
#[test]
fn the_worked_block_has_its_rows_and_stems() {
    let stems = |across: f64, along: f64| {
        let guide = LineString::from(vec![(0.0, 1e-9), (along, 1e-9)]);
        let block = MultiPolygon(vec![Rect::new((0.0, 0.0), (along, across)).to_polygon()]);
        let rows = guided_rows(&guide, &block, Metres(3.0), Degrees(20.0));
        (rows.len(), stems_in(Metres(along), Metres(1.8), false))
    };
    assert_eq!(stems(80.0, 120.0), (29, 67));
    assert_eq!(stems(77.0, 118.2), (28, 66));
    assert!((3.0 / Degrees(20.0).cos() - 3.1925).abs() < 5e-5);
}

/// The same block as ground that slopes at 20°: rows on the contour have its count, and its stems come within the area rule
/// (10 000 / (3 cos 20° × 1.8) = 1 970.7 to the plan hectare, 1 892 on 0.96 ha) and a stem for each row.
#[test]
fn the_worked_block_comes_out_on_the_contour_too() {
    let slope = Degrees(20.0);
    let ground = made(200.0, |at| 500.0 - at.y * slope.sin() / slope.cos());
    let block = MultiPolygon(vec![Rect::new((-60.0, -40.0), (60.0, 40.0)).to_polygon()]);
    let rows = contour_rows(&ground, &block, &asked(Metres(3.0)));
    // 80 m of plan hold 28.378 spacings: 28 or 29 rows, by where the first one falls.
    assert!((28..=29).contains(&rows.len()), "{}", rows.len());
    let stems: u64 = rows.iter().map(|row| stems_in(ground.length(row), Metres(1.8), false)).sum();
    assert_eq!(stems, 67 * rows.len() as u64);
}

/// Hand-worked: largest remainder of 1 943 at 30, 25, 20, 15 and 10 %.
#[test]
fn shares_of_the_worked_block_are_whole_stems() {
    assert_eq!(largest_remainder(1943, &[0.30, 0.25, 0.20, 0.15, 0.10]), [583, 486, 389, 291, 194]);
}

/// Hand-worked: need alive, field, hardening, pricking and germination; to plant, to harden, to prick, seeds.
#[test]
fn the_nursery_is_counted_back_as_by_hand() {
    let cases = [
        (1000, [0.85, 0.95, 0.90, 0.45], [1177, 1239, 1377, 3060]),
        (400, [0.90, 0.95, 0.90, 0.70], [445, 469, 522, 746]),
        (250, [0.75, 0.90, 0.85, 0.20], [334, 372, 438, 2190]),
    ];
    for (need, lives, expected) in cases {
        let mut stems = Stems(need);
        for (lives, expected) in lives.into_iter().zip(expected) {
            stems = before_loss(stems, share(lives)).unwrap();
            assert_eq!(stems, Stems(expected));
        }
    }
    let lot = |purity: f64, overage: f64| SeedLot {
        germination: share(0.45),
        purity: share(purity),
        per_gram: Some(120.0),
        overage: share(overage),
    };
    for (purity, overage, seeds, grams) in
        [(1.0, 0.0, 3060, 25.5), (1.0, 0.2, 3672, 30.6), (0.8, 0.0, 3060, 31.875)]
    {
        let lot = lot(purity, overage);
        assert_eq!(lot.seeds(Stems(1377)), Some(seeds));
        assert!((lot.grams(seeds).unwrap() - grams).abs() < 1e-9);
    }
}

/// *Afforestation, Reforestation and Forest Restoration in Arid and Semi-arid Tropics*, figure 2.9 and table 2.3 (what-when-how.com shows
/// both): 10 000 seeds or cuttings lose 40, 10, 0 and 5 % by propagation, in beds, by grading and on the way, and 5 130 plants are left;
/// counted back from these, each step has the plants that the figure prints. Of table 2.3, the plants raised for each that is planted,
/// by seven ways of production.
#[test]
fn losses_are_counted_back_as_a_published_nursery_example_counts_them_on() {
    let printed = [5_130, 5_400, 5_400, 6_000, 10_000];
    let kept = [0.95, 1.0, 0.9, 0.6];
    for (step, lives) in printed.windows(2).zip(kept) {
        assert_eq!(before_loss(Stems(step[0]), share(lives)), Some(Stems(step[1])));
    }
    let table = [
        ([0.0, 20.0, 20.0, 5.0], 1.64),
        ([0.0, 25.0, 20.0, 5.0], 1.75),
        ([0.0, 30.0, 20.0, 5.0], 1.88),
        ([40.0, 5.0, 0.0, 5.0], 1.85),
        ([0.0, 10.0, 20.0, 5.0], 1.46),
        ([0.0, 20.0, 20.0, 5.0], 1.64),
        ([40.0, 10.0, 0.0, 5.0], 1.95),
    ];
    for (losses, ratio) in table {
        let planted = 1_000_000;
        let back = |stems: Stems, loss: f64| before_loss(stems, share(1.0 - loss / 100.0)).unwrap();
        let raised = losses.into_iter().rev().fold(Stems(planted), back);
        assert!((raised.0 as f64 / planted as f64 - ratio).abs() <= 0.005, "{raised:?} for {ratio}");
    }
}

/// Exact binomial: 1 195 plants of which each lives with 0.85 give 1 000 with 0.9049, and 1 194 less than 0.90.
#[test]
fn the_assured_order_is_the_exact_one() {
    assert_eq!(assured(Stems(1000), share(0.85), share(0.90)), Some(Stems(1195)));
}

/// Northern Prairie Wildlife Research Center, *Establishment of Seeded Grasslands*, table 4: purity and germination of 80 % ask for
/// 1.55 lb of bulk seed for a pound that lives (exactly 1.5625), 50 % and 50 % for 4.0.
#[test]
fn bulk_seed_is_that_of_the_published_table() {
    for (share_of_each, printed, rounding) in [(0.8, 1.55, 0.02), (0.5, 4.0, 1e-9)] {
        let lot = SeedLot {
            germination: share(share_of_each),
            purity: share(share_of_each),
            per_gram: None,
            overage: share(0.0),
        };
        assert!((1.0 / lot.pure_live_seed().part() - printed).abs() < rounding);
    }
}
