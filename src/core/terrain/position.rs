//! Topographic position: how a cell lies among the ground about it.

use crate::{
    terrain::{Grid, Lattice, Raster, lattice::count},
    units::Metres,
};

/// A position is told where at least this share of the circle about a cell has heights: beside an edge the rest of the hill is missing.
const ENOUGH: f64 = 0.75;

/// The circle reaches at most so many cells, so that the work has a bound whatever the terrain.
const FARTHEST: usize = 24;

/// Topographic position of every cell within a circle about it; NaN where too little of the circle is known.
#[derive(Debug, Clone, PartialEq)]
pub struct TopographicPosition {
    /// Topographic position index: height less the mean of the circle, m.
    pub index: Grid,
    /// Deviation from mean elevation: the index in standard deviations of the circle's heights; 0 where they are all alike.
    pub deviation: Grid,
    /// Percentile elevation: share of the circle that lies lower.
    pub lower: Grid,
    /// Relief: the circle's highest less its lowest height, m.
    pub relief: Grid,
}

/// Topographic position in circles of `radius`, or of 24 cells where that is less.
///
/// # Equation
/// TPI = z − z̄ and DEV = (z − z̄) / s, with z̄ and s the mean and the standard deviation (of the whole, not of a sample) of the heights
/// at the centres within the circle, the cell's own among them; percentile elevation = number of those below z / number of all.
///
/// # Reference
/// Weiss (2001), *Topographic position and landforms analysis*, Esri User Conference, San Diego (from memory); De Reu and others
/// (2013), *Application of the topographic position index to heterogeneous landscapes*, Geomorphology 186:39-49 (from memory).
#[must_use]
pub fn topographic_position(grid: &Grid, radius: Metres) -> TopographicPosition {
    let told = Raster::by_rows(&grid.lattice, |row, cells: &mut [Told]| {
        let circle = circle(&grid.lattice, row, radius);
        for (column, cell) in cells.iter_mut().enumerate() {
            *cell = tell(grid, row, column, &circle);
        }
    });
    let part = |of: fn(&Told) -> f32| Raster {
        lattice: told.lattice.clone(),
        values: told.values.iter().map(of).collect(),
    };
    TopographicPosition {
        index: part(|told| told.index),
        deviation: part(|told| told.deviation),
        lower: part(|told| told.lower),
        relief: part(|told| told.relief),
    }
}

#[derive(Debug, Clone, Copy)]
struct Told {
    index: f32,
    deviation: f32,
    lower: f32,
    relief: f32,
}

impl Default for Told {
    fn default() -> Told {
        Told { index: f32::NAN, deviation: f32::NAN, lower: f32::NAN, relief: f32::NAN }
    }
}

/// Of each row of the circle about a cell of `row`: how far down it lies, and how many columns it reaches to each side.
fn circle(lattice: &Lattice, row: usize, Metres(radius): Metres) -> Vec<(isize, usize)> {
    let (width, height) = lattice.cell_metres(row);
    let cells = |length: f64, side: f64| ((length / side + 1e-9).floor().max(0.0) as usize).min(FARTHEST);
    let reach = cells(radius, height);
    let across = |down: usize| {
        let off = count(down) * height;
        cells((radius * radius - off * off).max(0.0).sqrt(), width)
    };
    let rows = (0..=2 * reach).filter_map(|at| {
        let down = isize::try_from(at).ok()? - isize::try_from(reach).ok()?;
        Some((down, across(down.unsigned_abs())))
    });
    rows.collect()
}

fn tell(grid: &Grid, row: usize, column: usize, circle: &[(isize, usize)]) -> Told {
    let own = grid.at(row, column).unwrap_or(f32::NAN);
    if own.is_nan() {
        return Told::default();
    }
    let (mut known, mut lower, mut of) = (0usize, 0usize, 0usize);
    // About the cell's own height, so that high ground loses no digits.
    let (mut sum, mut squares, mut low, mut high) = (0.0, 0.0, 0.0f64, 0.0f64);
    for (down, across) in circle {
        of += 2 * across + 1;
        let Some(row) = row.checked_add_signed(*down).filter(|row| *row < grid.lattice.rows) else {
            continue;
        };
        let columns = column.saturating_sub(*across)..(column + across + 1).min(grid.lattice.columns);
        for height in &grid.row(row)[columns] {
            if height.is_nan() {
                continue;
            }
            let off = f64::from(*height) - f64::from(own);
            known += 1;
            lower += usize::from(*height < own);
            (sum, squares) = (sum + off, squares + off * off);
            (low, high) = (low.min(off), high.max(off));
        }
    }
    if count(known) < ENOUGH * count(of) {
        return Told::default();
    }
    let mean = sum / count(known);
    let spread = (squares / count(known) - mean * mean).max(0.0).sqrt();
    Told {
        index: single(-mean),
        deviation: single(if spread > 0.0 { -mean / spread } else { 0.0 }),
        lower: single(count(lower) / count(known)),
        relief: single(high - low),
    }
}

#[allow(clippy::cast_possible_truncation, reason = "heights are kept in single precision")]
fn single(value: f64) -> f32 {
    value as f32
}
