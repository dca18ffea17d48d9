//! The terrain model at the cell that the plan works with: no finer than a row can follow.

use std::sync::Arc;

use crate::{
    terrain::{Grid, coarser, height_at, slope},
    units::Metres,
};

/// Cells are made no larger than this share of the row spacing: rows are laid on ground smoothed by as much again.
const CELL: f64 = 0.5;

/// Heights and slopes as the plan reads them.
#[derive(Debug, Clone)]
pub struct WorkingGround {
    /// Heights, m.
    pub heights: Arc<Grid>,
    /// Slopes, degrees.
    pub slope: Grid,
    /// Width of the model's own cells.
    pub own_cell: Metres,
    /// Width of the cells worked with.
    pub cell: Metres,
    /// By how much the averaged heights differ from the model's own, as the root of the mean square; nought where nothing was averaged.
    pub change: Metres,
}

impl WorkingGround {
    /// The ground of `heights` for rows `spacing` apart.
    ///
    /// # Method
    /// Cells finer than half a spacing are averaged in whole numbers to no more than that: forms smaller than a row can follow, and most
    /// of the noise of a fine survey, go. The change is read at every cell of the model, against heights straight between the averaged
    /// cells' centres.
    #[must_use]
    pub fn of(heights: &Arc<Grid>, Metres(spacing): Metres) -> WorkingGround {
        let (width, height) = heights.lattice.cell_metres(heights.lattice.rows / 2);
        let own = width.max(height);
        let times = (CELL * spacing / own + 1e-9).floor().max(1.0);
        let times = if times.is_finite() { times as usize } else { 1 };
        let averaged = if times > 1 { Arc::new(coarser(heights, times)) } else { Arc::clone(heights) };
        WorkingGround {
            slope: slope(&averaged),
            change: if times > 1 { change(heights, &averaged) } else { Metres(0.0) },
            heights: averaged,
            own_cell: Metres(own),
            cell: Metres(own * times as f64),
        }
    }
}

fn change(heights: &Grid, averaged: &Grid) -> Metres {
    let (mut sum, mut count) = (0.0, 0u64);
    for row in 0..heights.lattice.rows {
        for (column, height) in heights.row(row).iter().enumerate().filter(|(_, height)| !height.is_nan()) {
            if let Some(there) = height_at(averaged, heights.lattice.centre(row, column)) {
                let change = there - f64::from(*height);
                (sum, count) = (sum + change * change, count + 1);
            }
        }
    }
    Metres(if count > 0 { (sum / count as f64).sqrt() } else { 0.0 })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::terrain::{Coordinates, Lattice, Raster};

    /// Heights by place, 240 × 240 cells of `cell` metres.
    fn model(cell: f64, height: impl Fn(f64, f64) -> f64) -> Arc<Grid> {
        let lattice = Lattice {
            west: 0.0,
            north: 0.0,
            cell_x: cell,
            cell_y: cell,
            rows: 240,
            columns: 240,
            coordinates: Coordinates::Projected { metres_per_unit: 1.0 },
            crs: None,
        };
        let values = (0..240 * 240).map(|at| {
            let place = lattice.centre(at / 240, at % 240);
            height(place.x, place.y) as f32
        });
        Arc::new(Raster { values: values.collect(), lattice: lattice.clone() })
    }

    /// By hand: rows 5 m apart are worked with cells of at most 2.5 m: 2 × 1 m, 4 × 0.6 m, and 5 m as it is.
    #[test]
    fn cells_are_averaged_to_half_a_spacing() {
        for (own, cell) in [(1.0, 2.0), (0.6, 2.4), (5.0, 5.0)] {
            let ground = WorkingGround::of(&model(own, |x, y| 0.3 * x + 0.1 * y), Metres(5.0));
            assert!((ground.cell.0 - cell).abs() < 1e-9, "{:?}", ground.cell);
            // A plane is a plane at any cell.
            assert!(ground.change.0 < 1e-3, "{:?}", ground.change);
            let slope = ground.slope.at(20, 20).unwrap();
            assert!((f64::from(slope) - libm::atan(0.1_f64.sqrt()).to_degrees()).abs() < 0.05, "{slope}");
        }
    }

    /// Steps of ±0.1 m from cell to cell average out; what was averaged away is said.
    #[test]
    fn noise_goes_and_is_said() {
        let rough = |x: f64, y: f64| 0.2 * x + if (x + y).floor() as i64 % 2 == 0 { 0.1 } else { -0.1 };
        let ground = WorkingGround::of(&model(1.0, rough), Metres(4.0));
        assert!((ground.change.0 - 0.1).abs() < 1e-3, "{:?}", ground.change);
        assert!((f64::from(ground.slope.at(30, 30).unwrap()) - libm::atan(0.2).to_degrees()).abs() < 0.05);
    }
}
