//! Horn's gradient: how steeply the ground rises eastward and northward.

use crate::terrain::Grid;

/// Rise over run, eastward and northward; NaN where a neighbour has no height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Gradient {
    /// dz/dx, x to the east.
    pub(crate) east: f64,
    /// dz/dy, y to the north.
    pub(crate) north: f64,
}

impl Gradient {
    /// Rise over run along the steepest line.
    pub(crate) fn steepness(self) -> f64 {
        (self.east * self.east + self.north * self.north).sqrt()
    }
}

/// Calls `each` with every cell of `row` that has eight neighbours; the rest of the row is left as it is.
///
/// # Equation
/// dz/dx = ((c + 2f + i) − (a + 2d + g)) / 8Δx and dz/dy = ((a + 2b + c) − (g + 2h + i)) / 8Δy over the cells
/// a b c / d e f / g h i, north at the top, Δx and Δy the cell's sides in metres.
///
/// # Reference
/// Horn (1981), *Hill shading and the reflectance map*, Proceedings of the IEEE 69(1):14-47.
pub(crate) fn along_row(grid: &Grid, row: usize, mut each: impl FnMut(usize, Gradient)) {
    let lattice = &grid.lattice;
    if row == 0 || row + 1 >= lattice.rows || lattice.columns < 3 {
        return;
    }
    let (width, height) = lattice.cell_metres(row);
    let (east, north) = (1.0 / (8.0 * width), 1.0 / (8.0 * height));
    let (above, here, below) = (grid.row(row - 1), grid.row(row), grid.row(row + 1));
    let rows = above.windows(3).zip(here.windows(3)).zip(below.windows(3));
    for (at, ((above, here), below)) in rows.enumerate() {
        let [a, b, c] = wide(above);
        let [d, e, f] = wide(here);
        let [g, h, i] = wide(below);
        // Horn leaves the middle out; a hole there must still show.
        let hole = if e.is_nan() { f64::NAN } else { 0.0 };
        let gradient = Gradient {
            east: ((c + 2.0 * f + i) - (a + 2.0 * d + g)) * east + hole,
            north: ((a + 2.0 * b + c) - (g + 2.0 * h + i)) * north + hole,
        };
        each(at + 1, gradient);
    }
}

fn wide(cells: &[f32]) -> [f64; 3] {
    match *cells {
        [one, two, three] => [f64::from(one), f64::from(two), f64::from(three)],
        _ => [f64::NAN; 3],
    }
}
