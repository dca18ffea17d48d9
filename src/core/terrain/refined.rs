//! A finer and smoother grid, for lines that don't show the cells.

use crate::terrain::{Grid, Lattice, Raster, Window, lattice::count};

/// The heights of `window` on a lattice `times` finer, smoothed.
///
/// # Method
/// A uniform cubic B-spline with the heights as its control points. It has no bulge that the heights have not, and it is one
/// surface: contours drawn on it can't cross, however close they lie, as lines smoothed one by one would. A height moves
/// towards the mean of its neighbours, (1, 4, 1)/6 each way. Beyond an edge or a hole the nearest height goes on.
///
/// # Reference
/// de Boor (1978), *A Practical Guide to Splines*, chapter IX (variation diminishing).
#[must_use]
pub fn refined(grid: &Grid, window: &Window, times: usize) -> Grid {
    let times = times.max(1);
    let rows = window.rows.len().saturating_sub(1) * times + 1;
    let columns = window.columns.len().saturating_sub(1) * times + 1;
    let source = grid.lattice.within(window);
    let (cell_x, cell_y) = (source.cell_x / count(times), source.cell_y / count(times));
    // Centres of the outer cells stay where they are; the fine cells lie about them.
    let lattice = Lattice {
        west: source.west + 0.5 * (source.cell_x - cell_x),
        north: source.north - 0.5 * (source.cell_y - cell_y),
        cell_x,
        cell_y,
        rows: if window.rows.is_empty() { 0 } else { rows },
        columns: if window.columns.is_empty() { 0 } else { columns },
        ..source
    };
    let weights: Vec<[f64; 4]> = (0..times).map(|at| basis(count(at) / count(times))).collect();
    Raster::by_rows(&lattice, |row, cells| {
        let (from, down) = (window.rows.start + row / times, &weights[row % times]);
        for (column, height) in cells.iter_mut().enumerate() {
            let across = &weights[column % times];
            *height = spline(grid, (from, window.columns.start + column / times), down, across);
        }
    })
}

/// The four weights of the uniform cubic B-spline at `t`, 0 to 1 between the second and third control point.
fn basis(t: f64) -> [f64; 4] {
    let s = 1.0 - t;
    [
        s * s * s / 6.0,
        (3.0 * t * t * t - 6.0 * t * t + 4.0) / 6.0,
        (3.0 * s * s * s - 6.0 * s * s + 4.0) / 6.0,
        t * t * t / 6.0,
    ]
}

#[allow(clippy::cast_possible_truncation, reason = "heights are kept in single precision")]
fn spline(grid: &Grid, (row, column): (usize, usize), down: &[f64; 4], across: &[f64; 4]) -> f32 {
    let nearest = |down: usize, right: usize| {
        let row = (row + down).saturating_sub(1).min(grid.lattice.rows - 1);
        let column = (column + right).saturating_sub(1).min(grid.lattice.columns - 1);
        grid.at(row, column).unwrap_or(f32::NAN)
    };
    // The corners between which the place lies; where one of them counts and is not known, nothing is.
    let mut sum = 0.0;
    for (i, weight_down) in down.iter().enumerate() {
        for (j, weight_across) in across.iter().enumerate() {
            let mut height = nearest(i, j);
            if height.is_nan() {
                height = nearest(i.clamp(1, 2), j.clamp(1, 2));
            }
            if height.is_nan() {
                height = nearest(1, 1);
            }
            sum += weight_down * weight_across * f64::from(height);
        }
    }
    let (level, upright) = (across[0] < 1.0 / 6.0, down[0] < 1.0 / 6.0);
    let needed = [(1, 1, true), (1, 2, level), (2, 1, upright), (2, 2, level && upright)];
    if needed.iter().any(|&(i, j, counts)| counts && nearest(i, j).is_nan()) {
        return f32::NAN;
    }
    sum as f32
}
