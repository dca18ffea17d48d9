//! The cells that lines cross.

use geo::MultiLineString;

use crate::terrain::{Lattice, lattice::count};

/// Marks every cell that one of `lines` (in the unit of the lattice's coordinates) passes through.
///
/// Every cell touched is marked, so that neighbours along a line share a side and no water slips between two corners.
#[must_use]
pub fn crossed(lattice: &Lattice, lines: &MultiLineString<f64>) -> Vec<bool> {
    let mut marks = vec![false; lattice.cells()];
    for edge in lines.iter().flat_map(|line| line.lines()) {
        let (a, b) = (lattice.in_cells(edge.start), lattice.in_cells(edge.end));
        if !(a.x + a.y + b.x + b.y).is_finite() {
            continue;
        }
        let (top, bottom) = if a.y < b.y { (a, b) } else { (b, a) };
        let x_at = |y: f64| match bottom.y - top.y {
            fall if fall > 0.0 => top.x + (y - top.y) / fall * (bottom.x - top.x),
            _ => top.x,
        };
        for row in cell_of(top.y, lattice.rows)..=cell_of(bottom.y, lattice.rows) {
            if bottom.y < 0.0 || top.y >= count(lattice.rows) {
                continue;
            }
            let level = bottom.y <= top.y;
            let one = if level { a.x } else { x_at(top.y.max(count(row))) };
            let other = if level { b.x } else { x_at(bottom.y.min(count(row) + 1.0)) };
            let (west, east) = if one < other { (one, other) } else { (other, one) };
            if east < 0.0 || west >= count(lattice.columns) {
                continue;
            }
            let columns = cell_of(west, lattice.columns)..=cell_of(east, lattice.columns);
            marks[row * lattice.columns..][columns].fill(true);
        }
    }
    marks
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held within the lattice")]
fn cell_of(place: f64, cells: usize) -> usize {
    (place.floor().max(0.0) as usize).min(cells.saturating_sub(1))
}
