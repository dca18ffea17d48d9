//! The values of a raster at the dots of a picture, row after row.
//!
//! Every other dot of every other row is looked up; the dots between take the mean of their neighbours. Between four cell centres
//! that is what a look-up would give but for a hair, at a quarter of the time.

use geo::Coord;

use crate::draw::map::{mesh::Mesh, under::sampled};
use hillfolio_core::terrain::Raster;

/// The dots of a picture on paper.
#[derive(Debug, Clone, Copy)]
pub(super) struct Dots {
    /// The upper left corner of the picture, mm.
    pub(super) corner: Coord<f64>,
    /// Width and height of a dot, mm.
    pub(super) side: (f64, f64),
    /// Dots in a row.
    pub(super) columns: usize,
}

impl Dots {
    fn x(&self, column: usize) -> f64 {
        self.corner.x + self.side.0 * (column as f64 + 0.5)
    }

    fn y(&self, row: usize) -> f64 {
        self.corner.y + self.side.1 * (row as f64 + 0.5)
    }
}

/// The values at one row of dots.
pub(super) struct Sampled<'a> {
    raster: &'a Raster<f32>,
    to_cells: &'a Mesh,
    dots: Dots,
    row: usize,
    /// The value at every other dot of the row; NaN where it has none.
    line: Vec<f64>,
    /// The same of the next row that is looked up, where that has been done.
    next: Option<(usize, Vec<f64>)>,
}

impl<'a> Sampled<'a> {
    /// The values of `raster`, to whose cells `to_cells` leads from paper.
    pub(super) fn new(raster: &'a Raster<f32>, to_cells: &'a Mesh, dots: Dots) -> Sampled<'a> {
        Sampled { raster, to_cells, dots, row: 0, line: Vec::new(), next: None }
    }

    /// Goes on to `row`: from the first on, one after the other.
    pub(super) fn go_to(&mut self, row: usize) {
        self.row = row;
        if row.is_multiple_of(2) {
            self.line = match self.next.take() {
                Some((at, line)) if at == row => line,
                _ => self.looked_up(row),
            };
        } else {
            let below = self.looked_up(row + 1);
            self.line.iter_mut().zip(&below).for_each(|(above, below)| *above = (*above + below) / 2.0);
            self.next = Some((row + 1, below));
        }
    }

    /// The value at a dot of the row.
    #[inline]
    pub(super) fn at(&self, column: usize) -> Option<f64> {
        let half = column / 2;
        let value = if column.is_multiple_of(2) {
            self.line[half]
        } else {
            (self.line[half] + self.line[half + 1]) / 2.0
        };
        if value.is_nan() { self.exactly(column) } else { Some(value) }
    }

    /// The value at a dot with a neighbour that has none.
    fn exactly(&self, column: usize) -> Option<f64> {
        sampled(self.raster, self.to_cells.at(Coord { x: self.dots.x(column), y: self.dots.y(self.row) }))
    }

    /// The values at every other dot of `row`, and at one beyond its end.
    fn looked_up(&self, row: usize) -> Vec<f64> {
        let along = self.to_cells.along(self.dots.y(row));
        let value = |column| sampled(self.raster, along.at(self.dots.x(column))).unwrap_or(f64::NAN);
        (0..=self.dots.columns.div_ceil(2)).map(|half| value(2 * half)).collect()
    }
}

#[cfg(test)]
mod tests {
    use geo::Rect;

    use super::*;
    use hillfolio_core::terrain::{Coordinates, Lattice};

    /// Ground whose values rise evenly to the south-east, with a hole; ten dots to a cell.
    #[test]
    fn every_dot_has_the_value_of_its_place() {
        let lattice = Lattice {
            west: 0.0,
            north: 4.0,
            cell_x: 1.0,
            cell_y: 1.0,
            rows: 4,
            columns: 4,
            coordinates: Coordinates::Projected { metres_per_unit: 1.0 },
            crs: None,
        };
        let mut values: Vec<f32> = (0..16u8).map(|at| f32::from(at % 4) + 2.0 * f32::from(at / 4)).collect();
        values[10] = f32::NAN;
        let raster = Raster { lattice, values };
        let room = Rect::new((0.0, 0.0), (4.0, 4.0));
        let mesh = Mesh::over(room, 1.0, Some).unwrap();
        for columns in [40, 41] {
            let dots = Dots { corner: Coord { x: 0.0, y: 0.0 }, side: (0.1, 0.1), columns };
            let mut lines = Sampled::new(&raster, &mesh, dots);
            for row in 0..40 {
                lines.go_to(row);
                for column in 0..columns {
                    let place = Coord { x: dots.x(column), y: dots.y(row) };
                    let (found, wanted) = (lines.at(column), sampled(&raster, place));
                    let far = found.zip(wanted).map(|(found, wanted)| (found - wanted).abs());
                    // About the hole values jump, and elsewhere the slope changes by a cell's centre: there a dot's mean may be off by
                    // what one dot rises.
                    let by_the_hole = (place.x - 2.5).abs().max((place.y - 2.5).abs()) < 1.15;
                    let close = far.map_or(found == wanted, |far| by_the_hole || far < 0.15);
                    assert!(close, "{row} {column} {found:?} {wanted:?}");
                    let even = (0.6..1.4).contains(&place.x) && (0.6..1.4).contains(&place.y);
                    assert!(!even || far.unwrap() < 1e-6, "{row} {column} {found:?} {wanted:?}");
                }
            }
        }
    }
}
