//! The cells whose centres lie in an area.

use geo::MultiPolygon;

use crate::terrain::{Lattice, lattice::count};

/// Row and column of every cell whose centre lies in `area` (in the unit of the lattice's coordinates), in order.
///
/// A line through a row of centres crosses the boundary an even number of times; a centre is inside after an odd number
/// of crossings. A centre on a western edge is in, on an eastern edge out, so that areas side by side share no cell.
#[must_use]
pub fn centres(lattice: &Lattice, area: &MultiPolygon<f64>) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    let Some(window) = lattice.window_about(area, 0) else { return found };
    let mut crossings: Vec<Vec<f64>> = vec![Vec::new(); window.rows.len()];
    for ring in area.iter().flat_map(|polygon| std::iter::once(polygon.exterior()).chain(polygon.interiors()))
    {
        for edge in ring.lines() {
            let (a, b) = (lattice.in_cells(edge.start), lattice.in_cells(edge.end));
            let (top, bottom) = if a.y < b.y { (a, b) } else { (b, a) };
            let rows =
                first_centre(top.y).max(window.rows.start)..first_centre(bottom.y).min(window.rows.end);
            for row in rows {
                let along = (count(row) + 0.5 - top.y) / (bottom.y - top.y);
                crossings[row - window.rows.start].push(top.x + along * (bottom.x - top.x));
            }
        }
    }
    for (row, mut places) in window.rows.clone().zip(crossings) {
        places.sort_unstable_by(f64::total_cmp);
        for pair in places.chunks_exact(2) {
            let columns = first_centre(pair[0]).max(window.columns.start);
            found
                .extend((columns..first_centre(pair[1]).min(window.columns.end)).map(|column| (row, column)));
        }
    }
    found
}

/// The first cell whose centre is not before `place`.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a float past the ends saturates")]
fn first_centre(place: f64) -> usize {
    (place - 0.5).ceil().max(0.0) as usize
}
