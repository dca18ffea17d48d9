//! Heights along a line.

use geo::{Coord, LineString};

use crate::terrain::{Coordinates, Grid, lattice::count};

/// One place of a profile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Profile {
    /// Plan metres from the line's beginning.
    pub distance: f64,
    /// Height in metres; `None` where the ground is not known.
    pub height: Option<f64>,
}

/// Height at `place` (in the unit of the lattice's coordinates), between the four centres about it by straight lines.
#[must_use]
pub fn height_at(grid: &Grid, place: Coord<f64>) -> Option<f64> {
    let cells = grid.lattice.in_cells(place);
    let (x, y) = (cells.x - 0.5, cells.y - 0.5);
    let inside = |at: f64, cells: usize| at >= 0.0 && at <= count(cells) - 1.0;
    if !inside(x, grid.lattice.columns) || !inside(y, grid.lattice.rows) {
        return None;
    }
    let (column, east) = split(x, grid.lattice.columns);
    let (row, south) = split(y, grid.lattice.rows);
    let height = |row: usize, column: usize| grid.at(row, column).map(f64::from).unwrap_or(f64::NAN);
    let mix = |one: f64, other: f64, part: f64| if part > 0.0 { one + part * (other - one) } else { one };
    let north = mix(height(row, column), height(row, column + 1), east);
    let below =
        if south > 0.0 { mix(height(row + 1, column), height(row + 1, column + 1), east) } else { north };
    Some(mix(north, below, south)).filter(|height| !height.is_nan())
}

/// Heights along `line` at steps of `step` metres and at its end; on a grid in degrees the metres are those of the parallel
/// and meridian at each corner.
#[must_use]
pub fn profile(grid: &Grid, line: &LineString<f64>, step: f64) -> Vec<Profile> {
    let mut places = Vec::new();
    let (mut walked, mut next) = (0.0, 0.0);
    let at = |place, distance| Profile { distance, height: height_at(grid, place) };
    for edge in line.lines() {
        let (across, along) = scale(grid, edge.start);
        let (dx, dy) = ((edge.end.x - edge.start.x) * across, (edge.end.y - edge.start.y) * along);
        let length = (dx * dx + dy * dy).sqrt();
        while step > 0.0 && length > 0.0 && next <= walked + length {
            let part = (next - walked) / length;
            let place = Coord {
                x: edge.start.x + part * (edge.end.x - edge.start.x),
                y: edge.start.y + part * (edge.end.y - edge.start.y),
            };
            places.push(at(place, next));
            next += step;
        }
        walked += length;
    }
    if let Some(last) = line.coords().last()
        && places.last().is_none_or(|place| walked - place.distance > 1e-6)
    {
        places.push(at(*last, walked));
    }
    places
}

/// Metres in one unit of x and of y at `place`.
fn scale(grid: &Grid, place: Coord<f64>) -> (f64, f64) {
    match grid.lattice.coordinates {
        Coordinates::Projected { metres_per_unit } => (metres_per_unit, metres_per_unit),
        Coordinates::Geographic => {
            let (row, _) = split(grid.lattice.in_cells(place).y, grid.lattice.rows);
            let (width, height) = grid.lattice.cell_metres(row);
            (width / grid.lattice.cell_x, height / grid.lattice.cell_y)
        }
    }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held within the lattice")]
fn split(place: f64, cells: usize) -> (usize, f64) {
    let whole = place.floor().clamp(0.0, count(cells.saturating_sub(1)));
    (whole as usize, (place - whole).clamp(0.0, 1.0))
}
