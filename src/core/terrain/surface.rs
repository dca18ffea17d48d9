//! How much larger the ground is than its plan.

use crate::terrain::{Grid, Raster};

/// Area along the ground of every cell over its plan area; NaN where a neighbour has no height.
///
/// # Method
/// Eight triangles between the cell's centre and its neighbours' centres; each side is halved, so that the triangles cover the
/// cell itself. Areas by Heron's formula.
///
/// # Reference
/// Jenness (2004), *Calculating landscape surface area from digital elevation models*, Wildlife Society Bulletin
/// 32(3):829-839.
#[must_use]
pub fn surface_ratio(grid: &Grid) -> Raster<f32> {
    let lattice = &grid.lattice;
    Raster::by_rows(lattice, |row, cells| {
        cells.fill(f32::NAN);
        if row == 0 || row + 1 >= lattice.rows || lattice.columns < 3 {
            return;
        }
        let sides = lattice.cell_metres(row);
        let (above, here, below) = (grid.row(row - 1), grid.row(row), grid.row(row + 1));
        let around = above.windows(3).zip(here.windows(3)).zip(below.windows(3));
        for (cell, ((above, here), below)) in cells[1..].iter_mut().zip(around) {
            let ring = [above[0], above[1], above[2], here[2], below[2], below[1], below[0], here[0]];
            *cell = ratio(f64::from(here[1]), ring, sides);
        }
    })
}

/// `ring`: the eight neighbours clockwise from the north-west.
#[allow(clippy::cast_possible_truncation, reason = "a ratio needs seven digits at most")]
fn ratio(middle: f64, ring: [f32; 8], (width, height): (f64, f64)) -> f32 {
    let diagonal = (width * width + height * height).sqrt();
    // Plan distance from the middle to each neighbour, and from each neighbour to the next.
    let spokes = [diagonal, height, diagonal, width, diagonal, height, diagonal, width];
    let rims = [width, width, height, height, width, width, height, height];
    let heights = ring.map(f64::from);
    let half = |plan: f64, rise: f64| (plan * plan + rise * rise).sqrt() / 2.0;
    let triangles = (0..8).map(|at| {
        let next = (at + 1) % 8;
        let one = half(spokes[at], heights[at] - middle);
        let two = half(spokes[next], heights[next] - middle);
        heron(one, two, half(rims[at], heights[next] - heights[at]))
    });
    (triangles.sum::<f64>() / (width * height)) as f32
}

/// Area of a triangle by its sides.
fn heron(a: f64, b: f64, c: f64) -> f64 {
    let s = (a + b + c) / 2.0;
    let product = s * (s - a) * (s - b) * (s - c);
    if product < 0.0 { 0.0 } else { product.sqrt() }
}
