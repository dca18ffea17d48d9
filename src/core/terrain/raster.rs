//! Values on a lattice, a value a cell.

use rayon::prelude::*;

use crate::terrain::{Lattice, Window, lattice::count};

/// One value for each cell of a lattice, row by row from the north-west corner.
#[derive(Debug, Clone, PartialEq)]
pub struct Raster<T> {
    /// Where the cells lie.
    pub lattice: Lattice,
    /// The values, `lattice.rows × lattice.columns` of them.
    pub values: Vec<T>,
}

/// Heights of the ground at the centres of cells, in metres; NaN where none is known.
///
/// Single precision holds a height of 4 000 m to 0.2 mm, which a cell of 1 m turns into less than 0.01° of slope.
pub type Grid = Raster<f32>;

impl<T: Copy> Raster<T> {
    /// The value of a cell; `None` beyond the edges.
    #[must_use]
    pub fn at(&self, row: usize, column: usize) -> Option<T> {
        (column < self.lattice.columns)
            .then(|| self.values.get(row * self.lattice.columns + column).copied())?
    }

    /// The values of `row`.
    #[must_use]
    pub fn row(&self, row: usize) -> &[T] {
        let from = row * self.lattice.columns;
        self.values.get(from..from + self.lattice.columns).unwrap_or_default()
    }

    /// The cells of `window` alone.
    #[must_use]
    pub fn within(&self, window: &Window) -> Raster<T> {
        let rows = window.rows.clone();
        let values = rows.flat_map(|row| self.row(row)[window.columns.clone()].iter().copied()).collect();
        Raster { lattice: self.lattice.within(window), values }
    }
}

impl<T: Copy + Send + Default> Raster<T> {
    /// A raster whose rows `fill` works out, each by itself.
    pub(crate) fn by_rows(lattice: &Lattice, fill: impl Fn(usize, &mut [T]) + Sync) -> Raster<T> {
        let mut values = vec![T::default(); lattice.cells()];
        values.par_chunks_mut(lattice.columns.max(1)).enumerate().for_each(|(row, cells)| fill(row, cells));
        Raster { lattice: lattice.clone(), values }
    }
}

impl Grid {
    /// Lowest and highest value; `None` where no cell has one.
    #[must_use]
    pub fn range(&self) -> Option<(f64, f64)> {
        let known = self.values.iter().copied().filter(|value| !value.is_nan());
        let ends = known.fold(None, |ends: Option<(f32, f32)>, value| {
            let (low, high) = ends.unwrap_or((value, value));
            Some((low.min(value), high.max(value)))
        })?;
        Some((f64::from(ends.0), f64::from(ends.1)))
    }

    /// Share of the cells that have a value.
    #[must_use]
    pub fn known(&self) -> f64 {
        let known = self.values.iter().filter(|value| !value.is_nan()).count();
        count(known) / count(self.values.len().max(1))
    }
}
