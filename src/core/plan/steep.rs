//! Ground by what a terrain model says of it, as a shape: steeper than a limit, or not in the model at all.

use geo::{Area, BooleanOps, BoundingRect, Coord, MapCoords, MultiPolygon, Polygon};

use crate::{
    geometry::Plane,
    plan::net::Net,
    terrain::{Coordinates, Grid, Lattice, Level, Raster, contours, height_at},
    units::{Degrees, Metres, SquareMetres},
};

/// Knots at most over one shape; beyond them the net is coarser. An outline has two corners a knot at the very most, so that this
/// bounds all work on it, however rough the ground.
const MOST_KNOTS: f64 = 250_000.0;

/// Knots lie no nearer together than this.
const FINEST: Metres = Metres(1.0);

/// A patch smaller than this is neither taken for steep ground nor for an opening in it: no machine and no row goes round it.
pub(crate) const SMALLEST_PATCH: SquareMetres = SquareMetres(25.0);

/// A value beside the ground and where the model knows none: its edge then runs through the knot that is known.
const FAR_BELOW: f64 = -1e6;

/// The ground of `shape` (on `plane`) whose slope is `limit` or steeper, by the slopes of a terrain model in degrees.
///
/// # Method
/// Marching squares over slopes at the knots of a net of half the model's cells, each between the four centres about it. Patches
/// under 25 m² count as the ground about them.
#[must_use]
pub fn steep_ground(
    shape: &MultiPolygon<f64>,
    plane: &Plane,
    slope: &Grid,
    limit: Degrees,
) -> MultiPolygon<f64> {
    let outline = outline(shape, plane, slope, |slope| slope.map_or(FAR_BELOW, |slope| slope - limit.0));
    let patches = outline.into_iter().filter(|ring| ring.unsigned_area() >= SMALLEST_PATCH.0);
    MultiPolygon(patches.collect()).intersection(shape)
}

/// The ground of `shape` (on `plane`) of which `heights` know nothing; its edge runs half-way between what is known and what is
/// not. Empty where the model's coordinate reference system is not known: then nothing at all can be told from it.
#[must_use]
pub(crate) fn unknown_ground(shape: &MultiPolygon<f64>, plane: &Plane, heights: &Grid) -> MultiPolygon<f64> {
    let outline = outline(shape, plane, heights, |height| if height.is_some() { -1.0 } else { 1.0 });
    MultiPolygon(outline).intersection(shape)
}

/// The rings about the ground where `wanted` makes of the model's value what is not negative, over `shape` and a step beyond; rings
/// of openings among them, as the even-odd rule of what follows wants them.
fn outline(
    shape: &MultiPolygon<f64>,
    plane: &Plane,
    model: &Grid,
    wanted: impl Fn(Option<f64>) -> f64 + Sync,
) -> Vec<Polygon<f64>> {
    let (Some(placing), Some(bounds)) = (model.lattice.placing(), shape.bounding_rect()) else {
        return Vec::new();
    };
    let (width, height) = model.lattice.cell_metres(model.lattice.rows / 2);
    let coarsest = (bounds.width() * bounds.height() / MOST_KNOTS).sqrt();
    let step = (width.max(height) / 2.0).max(FINEST.0).max(coarsest);
    let net = Net::over(shape, step);
    // A knot more on every side, where there is nothing: so every line comes back to its beginning.
    let lattice = Lattice {
        west: -1.5,
        north: net.rows as f64 + 0.5,
        cell_x: 1.0,
        cell_y: 1.0,
        rows: net.rows + 2,
        columns: net.columns + 2,
        coordinates: Coordinates::Projected { metres_per_unit: 1.0 },
        crs: None,
    };
    let last = net.rows;
    let values = Raster::by_rows(&lattice, |row, cells| {
        cells.fill(FAR_BELOW as f32);
        if (1..=last).contains(&row) {
            for (column, cell) in cells[1..=net.columns].iter_mut().enumerate() {
                let at = net.place((last - row) * net.columns + column);
                let place = placing.place(plane.position(at));
                *cell = wanted(place.and_then(|place| height_at(model, place))) as f32;
            }
        }
    });
    let rings = contours(&values, &[Level { height: 0.0, index: false }]);
    let placed =
        |ring: geo::LineString<f64>| ring.map_coords(|Coord { x, y }| net.origin + Coord { x, y } * net.step);
    let rings = rings.into_iter().filter(|ring| ring.closed && ring.line.0.len() > 3);
    rings.map(|ring| Polygon::new(placed(ring.line), Vec::new())).collect()
}

#[cfg(test)]
mod tests {
    use geo::{CoordsIter, LineString, Point, Rect};

    use super::*;

    /// Slopes over a square of so many cells of a metre about 148° E, 36° S.
    fn slopes(cells: usize, slope: impl Fn(usize, usize) -> f32) -> (Plane, Grid) {
        let middle = Point::new(148.0, -36.0);
        let (x, y) = crate::geometry::Grid::of_epsg(32755).unwrap().to_grid(middle).unwrap();
        let half = cells as f64 / 2.0;
        let lattice = Lattice {
            west: x - half,
            north: y + half,
            cell_x: 1.0,
            cell_y: 1.0,
            rows: cells,
            columns: cells,
            coordinates: Coordinates::Projected { metres_per_unit: 1.0 },
            crs: crate::geometry::Crs::of_epsg(32755),
        };
        let values = (0..cells * cells).map(|at| slope(at / cells, at % cells)).collect();
        (Plane::about(middle), Raster { lattice, values })
    }

    fn square(half: f64) -> MultiPolygon<f64> {
        MultiPolygon(vec![Rect::new((-half, -half), (half, half)).to_polygon()])
    }

    /// The roughest ground there is: steep and gentle by turns from cell to cell, 20 ha of it in a square and in a strip aslant.
    /// What is handed on has a bound that roughness can't pass.
    #[test]
    fn work_is_bounded_however_rough_the_ground() {
        let (plane, rough) = slopes(700, |row, column| if (row + column) % 2 == 0 { 30.0 } else { 2.0 });
        let strip = vec![(-340.0, -340.0), (-300.0, -340.0), (340.0, 340.0), (300.0, 340.0)];
        let strip = Polygon::new(LineString::from(strip), Vec::new());
        for shape in [square(224.0), MultiPolygon(vec![strip])] {
            let rings =
                outline(&shape, &plane, &rough, |slope| slope.map_or(FAR_BELOW, |slope| slope - 15.0));
            let corners: usize = rings.iter().map(CoordsIter::coords_count).sum();
            assert!(corners > 10_000, "rough indeed: {corners}");
            assert!(corners as f64 <= 2.0 * MOST_KNOTS, "{corners} corners");
            let steep = steep_ground(&shape, &plane, &rough, Degrees(15.0));
            assert!(steep.coords_count() as f64 <= 2.0 * MOST_KNOTS);
        }
    }

    /// A steep square of 100 × 100 m with an opening of 20 × 20 m, one of 4 × 4 m that is too small, and a steep speck beside.
    #[test]
    fn patches_and_openings_count_specks_do_not() {
        let within = |at: (usize, usize), low: usize, high: usize| {
            (low..high).contains(&at.0) && (low..high).contains(&at.1)
        };
        let (plane, slope) = slopes(200, |row, column| {
            let at = (row, column);
            let steep = within(at, 50, 150) && !within(at, 90, 110) && !within(at, 60, 64);
            if steep || within(at, 20, 23) { 20.0 } else { 10.0 }
        });
        let steep = steep_ground(&square(90.0), &plane, &slope, Degrees(15.0));
        assert_eq!((steep.0.len(), steep.0[0].interiors().len()), (1, 1));
        assert!((steep.unsigned_area() / (10_000.0 - 400.0) - 1.0).abs() < 0.01, "{}", steep.unsigned_area());
    }
}
