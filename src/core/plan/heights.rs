//! Heights of a terrain model at places of a plane.

use geo::{Coord, Rect};

use crate::{
    geometry::Plane,
    plan::net::Net,
    terrain::{Grid, height_at},
};

/// Between places that are put onto the model's grid one by one, m; others lie between them. Over such a distance a grid strays from
/// a straight copy of the plane by less than a millimetre.
const EXACT: f64 = 50.0;

/// A terrain model as it lies about a shape on a plane.
pub(crate) struct Heights<'a> {
    grid: &'a Grid,
    net: Net,
    /// Columns and rows of the grid from its first centre, at the net's knots.
    cells: Vec<Option<Coord<f64>>>,
}

impl<'a> Heights<'a> {
    /// The heights within `bounds` on `plane`; `None` where the grid's coordinate reference system is not known.
    pub(crate) fn within(grid: &'a Grid, plane: &Plane, bounds: Rect<f64>) -> Option<Heights<'a>> {
        let placing = grid.lattice.placing()?;
        let net = Net::over(&geo::MultiPolygon(vec![bounds.to_polygon()]), EXACT);
        let cells = |knot: usize| {
            let place = placing.place(plane.position(net.place(knot)))?;
            Some(grid.lattice.in_cells(place) - Coord { x: 0.5, y: 0.5 })
        };
        Some(Heights { grid, cells: (0..net.knots()).map(cells).collect(), net })
    }

    /// The height at `place`, by cubic convolution of the sixteen heights about it: it passes through the heights and bends
    /// smoothly between them. Beside an edge or a hole, between four heights by straight lines.
    ///
    /// # Reference
    /// Keys (1981), *Cubic convolution interpolation for digital image processing*, IEEE Transactions on Acoustics, Speech and
    /// Signal Processing 29(6):1153-1160.
    pub(crate) fn at(&self, place: Coord<f64>) -> Option<f64> {
        let cell = self.cell(place)?;
        let (column, row) = (cell.x.floor(), cell.y.floor());
        if column < 1.0 || row < 1.0 {
            return self.beside(cell);
        }
        let (across, down) = (weights(cell.x - column), weights(cell.y - row));
        let mut sum = 0.0;
        for (j, down) in down.iter().enumerate() {
            for (i, across) in across.iter().enumerate() {
                match self.grid.at(row as usize + j - 1, column as usize + i - 1) {
                    Some(height) if !height.is_nan() => sum += down * across * f64::from(height),
                    _ => return self.beside(cell),
                }
            }
        }
        Some(sum)
    }

    /// The height at `place` between the four about it, by straight lines.
    pub(crate) fn straight(&self, place: Coord<f64>) -> Option<f64> {
        self.beside(self.cell(place)?)
    }

    fn beside(&self, cell: Coord<f64>) -> Option<f64> {
        let lattice = &self.grid.lattice;
        let x = lattice.west + (cell.x + 0.5) * lattice.cell_x;
        height_at(self.grid, Coord { x, y: lattice.north - (cell.y + 0.5) * lattice.cell_y })
    }

    fn cell(&self, place: Coord<f64>) -> Option<Coord<f64>> {
        let (knot, east, north) = self.net.cell(place)?;
        let at = |right: usize, up: usize| self.cells[knot + right + up * self.net.columns];
        let south = at(0, 0)? * (1.0 - east) + at(1, 0)? * east;
        let beyond = at(0, 1)? * (1.0 - east) + at(1, 1)? * east;
        Some(south * (1.0 - north) + beyond * north)
    }
}

/// Weights of Keys' cubic with a = −1/2 at `t` between the second and the third of four.
fn weights(t: f64) -> [f64; 4] {
    let (square, cube) = (t * t, t * t * t);
    [
        -0.5 * cube + square - 0.5 * t,
        1.5 * cube - 2.5 * square + 1.0,
        -1.5 * cube + 2.0 * square + 0.5 * t,
        0.5 * cube - 0.5 * square,
    ]
}

/// The step to which every height is rounded, m: 1, 0.1, or 0 where they are finer.
pub(crate) fn rounding(grid: &Grid) -> f64 {
    let whole = |times: f64| {
        let known = grid.values.iter().filter(|height| !height.is_nan());
        known
            .map(|height| f64::from(*height) * times)
            .all(|height| (height - height.round()).abs() < 1e-3 * times)
    };
    match () {
        () if whole(1.0) => 1.0,
        () if whole(10.0) => 0.1,
        () => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use geo::Point;

    use super::*;
    use crate::terrain::{Coordinates, Lattice, Raster};

    /// Heights by a quadratic of easting and northing, which the cubic gives back exactly.
    fn model(crs: Option<crate::geometry::Crs>) -> Grid {
        let (x, y) =
            crate::geometry::Grid::of_epsg(32755).unwrap().to_grid(Point::new(148.3, -36.0)).unwrap();
        let lattice = Lattice {
            west: x - 150.0,
            north: y + 150.0,
            cell_x: 10.0,
            cell_y: 10.0,
            rows: 30,
            columns: 30,
            coordinates: Coordinates::Projected { metres_per_unit: 1.0 },
            crs,
        };
        let values = (0..900).map(|cell| lattice.centre(cell / 30, cell % 30) - Coord { x, y });
        let values = values.map(|at| (300.0 + 0.2 * at.x + 0.001 * at.x * at.y - 0.002 * at.y * at.y) as f32);
        Raster { values: values.collect(), lattice }
    }

    #[test]
    fn heights_bend_as_the_ground_does() {
        let grid = model(crate::geometry::Crs::of_epsg(32755));
        let plane = Plane::about(Point::new(148.3, -36.0));
        let heights = Heights::within(&grid, &plane, Rect::new((-140.0, -140.0), (140.0, 140.0))).unwrap();
        let on_grid = crate::geometry::Grid::of_epsg(32755).unwrap();
        let (x, y) = on_grid.to_grid(Point::new(148.3, -36.0)).unwrap();
        for (east, north) in [(0.0, 0.0), (33.3, -71.2), (-102.4, 55.5)] {
            let place = Coord { x: east, y: north };
            let (at_x, at_y) = on_grid.to_grid(plane.position(place)).unwrap();
            let (dx, dy) = (at_x - x, at_y - y);
            let expected = 300.0 + 0.2 * dx + 0.001 * dx * dy - 0.002 * dy * dy;
            assert!((heights.at(place).unwrap() - expected).abs() < 2e-3, "{east} {north}");
        }
        assert_eq!(heights.at(Coord { x: 147.0, y: 0.0 }), None, "beyond the centres");
    }

    #[test]
    fn a_hole_is_not_bridged_and_a_nameless_grid_has_no_place() {
        let mut grid = model(crate::geometry::Crs::of_epsg(32755));
        grid.values[15 * 30 + 15] = f32::NAN;
        let plane = Plane::about(Point::new(148.3, -36.0));
        let bounds = Rect::new((-140.0, -140.0), (140.0, 140.0));
        let heights = Heights::within(&grid, &plane, bounds).unwrap();
        assert_eq!(heights.at(Coord { x: 4.0, y: -4.0 }), None);
        assert!(heights.at(Coord { x: 24.0, y: -4.0 }).is_some());
        assert!(Heights::within(&model(None), &plane, bounds).is_none());
    }

    #[test]
    fn rounding_is_seen() {
        let mut grid = model(None);
        assert!(rounding(&grid) <= 0.0);
        grid.values.iter_mut().for_each(|height| *height = (*height * 10.0).round() / 10.0);
        assert_eq!(rounding(&grid), 0.1);
        grid.values.iter_mut().for_each(|height| *height = height.round());
        assert_eq!(rounding(&grid), 1.0);
    }
}
