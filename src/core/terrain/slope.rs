//! Slope and aspect.

use crate::terrain::{Grid, Raster, gradient};

/// Slope of every cell that has eight neighbours, in degrees; NaN elsewhere.
///
/// # Equation
/// θ = atan √((dz/dx)² + (dz/dy)²), with Horn's differences over the eight neighbours. On a grid in degrees a cell's sides are
/// taken in metres, row by row ([`crate::terrain::Lattice::cell_metres`]).
///
/// # Reference
/// Horn (1981), *Hill shading and the reflectance map*, Proceedings of the IEEE 69(1):14-47.
#[must_use]
pub fn slope(grid: &Grid) -> Raster<f32> {
    Raster::by_rows(&grid.lattice, |row, cells| {
        cells.fill(f32::NAN);
        gradient::along_row(grid, row, |column, gradient| {
            cells[column] = single(libm::atan(gradient.steepness()).to_degrees());
        });
    })
}

/// Azimuth of the steepest way down, in degrees clockwise from grid north; NaN where the ground is level or not known.
#[must_use]
pub fn aspect(grid: &Grid) -> Raster<f32> {
    Raster::by_rows(&grid.lattice, |row, cells| {
        cells.fill(f32::NAN);
        gradient::along_row(grid, row, |column, gradient| {
            if gradient.steepness() > 0.0 {
                let azimuth = libm::atan2(-gradient.east, -gradient.north).to_degrees();
                cells[column] = single(if azimuth < 0.0 { azimuth + 360.0 } else { azimuth });
            }
        });
    })
}

/// Both at once.
#[must_use]
pub fn slope_and_aspect(grid: &Grid) -> (Raster<f32>, Raster<f32>) {
    (slope(grid), aspect(grid))
}

#[allow(clippy::cast_possible_truncation, reason = "degrees need seven digits at most")]
fn single(value: f64) -> f32 {
    value as f32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::terrain::{Coordinates, Lattice};

    fn plane(cell: f64, rise_east: f64, rise_north: f64) -> Grid {
        let lattice = Lattice {
            west: 500_000.0,
            north: 6_000_000.0,
            cell_x: cell,
            cell_y: cell,
            rows: 6,
            columns: 7,
            coordinates: Coordinates::Projected { metres_per_unit: 1.0 },
            crs: None,
        };
        Raster::by_rows(&lattice.clone(), |row, cells| {
            for (column, height) in cells.iter_mut().enumerate() {
                let place = lattice.centre(row, column);
                *height =
                    single(100.0 + rise_east * (place.x - 500_000.0) + rise_north * (place.y - 6_000_000.0));
            }
        })
    }

    /// Trigonometry: a plane of 15° is 15.000° in every cell that has its eight neighbours.
    #[test]
    fn a_tilted_plane_is_as_steep_as_it_was_made() {
        let rise = libm::tan(15.0_f64.to_radians());
        let grid = plane(2.0, 0.0, rise);
        let (slope, aspect) = slope_and_aspect(&grid);
        for row in 0..6 {
            for column in 0..7 {
                let inner = (1..5).contains(&row) && (1..6).contains(&column);
                let (slope, aspect) = (slope.at(row, column).unwrap(), aspect.at(row, column).unwrap());
                assert_eq!(slope.is_nan(), !inner);
                if inner {
                    assert!((slope - 15.0).abs() < 0.001, "{slope}");
                    assert!(
                        (aspect - 180.0).abs() < 0.01,
                        "rising to the north, it falls to the south: {aspect}"
                    );
                }
            }
        }
    }

    #[test]
    fn a_hole_takes_the_slope_of_its_eight_neighbours_and_its_own() {
        let mut grid = plane(5.0, 0.1, 0.2);
        grid.values[2 * 7 + 3] = f32::NAN;
        let known = slope(&grid).values.iter().filter(|value| !value.is_nan()).count();
        assert_eq!(known, 20 - 9);
    }

    #[test]
    fn level_ground_faces_nowhere() {
        assert!(aspect(&plane(5.0, 0.0, 0.0)).values.iter().all(|value| value.is_nan()));
        assert_eq!(slope(&plane(5.0, 0.0, 0.0)).at(2, 2), Some(0.0));
    }
}
