//! Contour lines.

use geo::{Coord, LineString};
use rayon::prelude::*;

use crate::terrain::{Grid, lattice::count};

/// A height at which a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    /// Metres.
    pub height: f64,
    /// Drawn heavier and labelled.
    pub index: bool,
}

/// One contour line.
#[derive(Debug, Clone, PartialEq)]
pub struct Contour {
    /// Its level.
    pub level: Level,
    /// Whether it comes back to its beginning.
    pub closed: bool,
    /// Its course in the unit of the lattice's coordinates, higher ground to the right.
    pub line: LineString<f64>,
}

/// Every which interval has an index contour.
const INDEX_EVERY: i64 = 5;

/// The smallest interval of 1, 2 or 5 times a power of ten with which `range` is crossed by at most `most` levels.
#[must_use]
pub fn interval(range: (f64, f64), most: usize) -> f64 {
    let wanted = ((range.1 - range.0) / count(most.max(1))).max(0.001);
    let mut step = 0.001;
    for factor in [2.0, 2.5, 2.0].into_iter().cycle() {
        if step >= wanted || step > 1e6 {
            break;
        }
        step *= factor;
    }
    // Steps by factors pick up rounding; their thousandths are whole.
    (step * 1000.0).round() / 1000.0
}

/// The whole multiples of `interval` within `range`; every fifth is an index contour.
#[must_use]
#[allow(clippy::cast_possible_truncation, reason = "a float past the ends saturates")]
pub fn levels(range: (f64, f64), interval: f64) -> Vec<Level> {
    if !(interval > 0.0 && range.0.is_finite() && range.1.is_finite()) {
        return Vec::new();
    }
    let (first, last) = ((range.0 / interval).ceil() as i64, (range.1 / interval).floor() as i64);
    let all = (first..=last).take(10_000);
    all.map(|step| Level { height: step as f64 * interval, index: step % INDEX_EVERY == 0 }).collect()
}

/// The contours of `grid` at `levels`, in order of level and then of where they begin.
///
/// # Method
/// Marching squares between the centres of cells: a line crosses the side of a square where the height between its two ends,
/// straight, is the level. Where all four sides are crossed the lines keep the two corners together that the mean of the
/// four sides with. Lines end at the edge and at unknown ground and never run along them. Lines of different levels
/// can't cross: on every side of a square the crossings stand in the order of their levels.
///
/// # Reference
/// Lorensen and Cline (1987), Computer Graphics 21(4):163-169, in two dimensions.
#[must_use]
pub fn contours(grid: &Grid, levels: &[Level]) -> Vec<Contour> {
    let mut levels = levels.to_vec();
    levels.retain(|level| level.height.is_finite());
    levels.sort_by(|one, other| one.height.total_cmp(&other.height));
    let rows: Vec<Vec<Piece>> =
        (1..grid.lattice.rows).into_par_iter().map(|row| pieces(grid, row - 1, &levels)).collect();
    let mut by_level: Vec<Vec<Piece>> = vec![Vec::new(); levels.len()];
    for piece in rows.into_iter().flatten() {
        by_level[piece.level].push(piece);
    }
    let joined: Vec<Vec<Contour>> =
        by_level.into_par_iter().zip(levels).map(|(pieces, level)| join(grid, pieces, level)).collect();
    joined.into_iter().flatten().collect()
}

/// A straight piece of a line across one square, from one of its sides to another.
#[derive(Debug, Clone, Copy)]
struct Piece {
    level: usize,
    from: usize,
    to: usize,
}

/// The pieces in the squares between `row` and the next. A side is named by the cell at its north or west end, twice its number
/// for a side that runs east, and one more for a side that runs south.
fn pieces(grid: &Grid, row: usize, levels: &[Level]) -> Vec<Piece> {
    let (above, below) = (grid.row(row), grid.row(row + 1));
    let columns = grid.lattice.columns;
    let mut found = Vec::new();
    for column in 0..columns.saturating_sub(1) {
        // Clockwise from the north-west.
        let corners = [above[column], above[column + 1], below[column + 1], below[column]].map(f64::from);
        if corners.iter().any(|corner| corner.is_nan()) {
            continue;
        }
        let low = corners.iter().copied().fold(f64::INFINITY, f64::min);
        let high = corners.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let first = levels.partition_point(|level| level.height <= low);
        let cell = row * columns + column;
        let (north, west) = (2 * cell, 2 * cell + 1);
        let (south, east) = (2 * (cell + columns), 2 * (cell + 1) + 1);
        for (at, level) in levels.iter().enumerate().skip(first).take_while(|(_, one)| one.height <= high) {
            let mut add = |from, to| found.push(Piece { level: at, from, to });
            let up = corners.map(|corner| corner >= level.height);
            let middle = corners.iter().sum::<f64>() / 4.0 >= level.height;
            match (up, middle) {
                ([true, false, false, false], _) => add(north, west),
                ([false, true, true, true], _) => add(west, north),
                ([false, true, false, false], _) => add(east, north),
                ([true, false, true, true], _) => add(north, east),
                ([false, false, true, false], _) => add(south, east),
                ([true, true, false, true], _) => add(east, south),
                ([false, false, false, true], _) => add(west, south),
                ([true, true, true, false], _) => add(south, west),
                ([true, true, false, false], _) => add(east, west),
                ([false, false, true, true], _) => add(west, east),
                ([false, true, true, false], _) => add(south, north),
                ([true, false, false, true], _) => add(north, south),
                ([true, false, true, false], true) => {
                    add(north, east);
                    add(south, west);
                }
                ([true, false, true, false], false) => {
                    add(north, west);
                    add(south, east);
                }
                ([false, true, false, true], true) => {
                    add(west, north);
                    add(east, south);
                }
                ([false, true, false, true], false) => {
                    add(east, north);
                    add(west, south);
                }
                ([true, true, true, true] | [false, false, false, false], _) => {}
            }
        }
    }
    found
}

/// Pieces of one level joined end to end. Higher ground lies to the right of each, so that a side begins at most one of them.
fn join(grid: &Grid, mut pieces: Vec<Piece>, level: Level) -> Vec<Contour> {
    pieces.sort_unstable_by_key(|piece| piece.from);
    let beginning = |side: usize| pieces.binary_search_by_key(&side, |piece| piece.from).ok();
    let mut continues = vec![false; pieces.len()];
    for piece in &pieces {
        if let Some(next) = beginning(piece.to) {
            continues[next] = true;
        }
    }
    let mut used = vec![false; pieces.len()];
    let mut lines = Vec::new();
    // Lines with an end first, from their beginnings; what is left comes back to where it began.
    let heads = (0..pieces.len()).filter(|&at| !continues[at]).chain(0..pieces.len());
    for head in heads {
        if used[head] {
            continue;
        }
        let mut course = vec![crossing(grid, pieces[head].from, level.height)];
        let mut next = Some(head);
        while let Some(at) = next.filter(|&at| !used[at]) {
            used[at] = true;
            let place = crossing(grid, pieces[at].to, level.height);
            if course.last() != Some(&place) {
                course.push(place);
            }
            next = beginning(pieces[at].to);
        }
        let closed = next == Some(head);
        if course.len() > 1 {
            lines.push(Contour { level, closed, line: LineString(course) });
        }
    }
    lines
}

/// Where a side is at `height`.
fn crossing(grid: &Grid, side: usize, height: f64) -> Coord<f64> {
    let columns = grid.lattice.columns;
    let (cell, southward) = (side / 2, side % 2 == 1);
    let (row, column) = (cell / columns, cell % columns);
    let (next_row, next_column) = if southward { (row + 1, column) } else { (row, column + 1) };
    let value = |row, column| grid.at(row, column).map_or(f64::NAN, f64::from);
    let (one, other) = (value(row, column), value(next_row, next_column));
    let part = (height - one) / (other - one);
    let (from, to) = (grid.lattice.centre(row, column), grid.lattice.centre(next_row, next_column));
    Coord { x: from.x + part * (to.x - from.x), y: from.y + part * (to.y - from.y) }
}
