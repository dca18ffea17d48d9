//! Larger cells, for models finer than the ground's own slopes.

use crate::terrain::{Grid, Raster, lattice::count};

/// The heights of `grid` in cells `times` larger each way, each the mean of those it holds; NaN where fewer than half are known.
///
/// Rows and columns at the southern and eastern edge that don't fill a cell are left out.
#[must_use]
pub fn coarser(grid: &Grid, times: usize) -> Grid {
    let times = times.max(1);
    let mut lattice = grid.lattice.clone();
    lattice.rows /= times;
    lattice.columns /= times;
    lattice.cell_x *= count(times);
    lattice.cell_y *= count(times);
    Raster::by_rows(&lattice, |row, cells| {
        for (column, cell) in cells.iter_mut().enumerate() {
            let rows = (row * times..(row + 1) * times).map(|row| grid.row(row));
            let block = rows.flat_map(|row| &row[column * times..(column + 1) * times]);
            let known: Vec<f64> =
                block.filter(|height| !height.is_nan()).map(|&height| f64::from(height)).collect();
            let enough = known.len() * 2 >= times * times;
            *cell = if enough { mean(&known) } else { f32::NAN };
        }
    })
}

#[allow(clippy::cast_possible_truncation, reason = "heights are kept in single precision")]
fn mean(heights: &[f64]) -> f32 {
    (heights.iter().sum::<f64>() / count(heights.len())) as f32
}
