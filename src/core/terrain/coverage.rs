//! The exact share of every cell that lies inside an area.

use std::ops::Range;

use geo::{Coord, MultiPolygon, Orient, orient::Direction};

use crate::terrain::{Lattice, Window, lattice::count};

/// Shares nearer than this to none or all of a cell are none or all: what is left of rounding.
const WHOLE: f64 = 1e-9;

/// How much of each cell an area covers.
#[derive(Debug, Clone, PartialEq)]
pub struct Coverage {
    /// The cells that the area may touch.
    pub window: Window,
    /// The share of each of them that lies inside, 0 to 1, row by row.
    pub shares: Vec<f64>,
    /// The whole area in cells, what lies beyond the lattice included.
    pub whole: f64,
}

impl Coverage {
    /// Every cell that the area covers in part or whole: row, column, share.
    pub fn cells(&self) -> impl Iterator<Item = (usize, usize, f64)> {
        let columns = self.window.columns.clone();
        self.shares.iter().enumerate().filter(|(_, share)| **share > 0.0).map(move |(at, &share)| {
            let width = columns.len().max(1);
            (self.window.rows.start + at / width, columns.start + at % width, share)
        })
    }

    /// The area that the lattice holds, in cells.
    #[must_use]
    pub fn held(&self) -> f64 {
        self.shares.iter().sum()
    }
}

/// How much of each cell `area` (in the unit of the lattice's coordinates, edges straight) covers.
///
/// # Method
/// Each edge is cut at the lines between cells; a piece that falls by dy inside a cell, on average x from its western side, adds
/// dy (1 − x) to that cell and dy to every cell east of it. Sums along the rows are then the shares, holes taken out by
/// their opposite turn. Exact but for rounding; O(edges × cells crossed).
#[must_use]
pub fn coverage(lattice: &Lattice, area: &MultiPolygon<f64>) -> Coverage {
    let area = area.orient(Direction::Default);
    let Some(window) = lattice.window_about(&area, 0) else {
        let whole = area_in_cells(lattice, &area);
        return Coverage { window: Window { rows: 0..0, columns: 0..0 }, shares: Vec::new(), whole };
    };
    let width = window.columns.len() + 1;
    let mut sums = Sums { window: &window, width, values: vec![0.0; window.rows.len() * width] };
    for ring in area.iter().flat_map(|polygon| std::iter::once(polygon.exterior()).chain(polygon.interiors()))
    {
        for edge in ring.lines() {
            sums.add(lattice.in_cells(edge.start), lattice.in_cells(edge.end));
        }
    }
    let mut shares = Vec::with_capacity(window.rows.len() * window.columns.len());
    for row in sums.values.chunks(width) {
        let mut sum = 0.0;
        shares.extend(row[..width - 1].iter().map(|part| {
            sum += part;
            tidy(sum)
        }));
    }
    Coverage { shares, whole: area_in_cells(lattice, &area), window }
}

fn tidy(share: f64) -> f64 {
    let share = share.abs();
    match share {
        _ if share < WHOLE => 0.0,
        _ if share > 1.0 - WHOLE => 1.0,
        _ => share,
    }
}

fn area_in_cells(lattice: &Lattice, area: &MultiPolygon<f64>) -> f64 {
    use geo::Area;
    area.unsigned_area() / (lattice.cell_x * lattice.cell_y)
}

struct Sums<'a> {
    window: &'a Window,
    width: usize,
    values: Vec<f64>,
}

impl Sums<'_> {
    /// Adds the edge from `a` to `b`, both in cells of the lattice.
    fn add(&mut self, a: Coord<f64>, b: Coord<f64>) {
        if a.y == b.y || !(a.x + a.y + b.x + b.y).is_finite() {
            return;
        }
        let sign = if a.y < b.y { 1.0 } else { -1.0 };
        let (top, bottom) = if a.y < b.y { (a, b) } else { (b, a) };
        let run = (bottom.x - top.x) / (bottom.y - top.y);
        let x_at = |y: f64| if y == bottom.y { bottom.x } else { top.x + (y - top.y) * run };
        for row in overlap(top.y, bottom.y, &self.window.rows) {
            let from = top.y.max(count(row));
            let to = bottom.y.min(count(row) + 1.0);
            if to > from {
                let start = (row - self.window.rows.start) * self.width;
                self.piece(start, (x_at(from), x_at(to)), sign * (to - from));
            }
        }
    }

    /// Adds a piece within one row, which falls by `fall` from x `ends.0` to `ends.1`.
    fn piece(&mut self, start: usize, ends: (f64, f64), fall: f64) {
        let first = count(self.window.columns.start);
        let (low, high) = if ends.0 < ends.1 { ends } else { (ends.1, ends.0) };
        let (low, high) = (low - first, high - first);
        let columns = self.width - 1;
        let last = count(columns);
        if high <= 0.0 {
            self.values[start] += fall;
            return;
        }
        if low >= last {
            return;
        }
        let run = high - low;
        if run <= 0.0 {
            self.cell(start, low, low, fall);
            return;
        }
        if low < 0.0 {
            self.values[start] += fall * (-low / run);
        }
        for column in overlap(low, high, &(0..columns)) {
            let from = low.max(count(column));
            let to = high.min(count(column) + 1.0);
            if to > from {
                self.cell(start, from, to, fall * ((to - from) / run));
            }
        }
    }

    /// Adds a piece within one cell.
    fn cell(&mut self, start: usize, from: f64, to: f64, fall: f64) {
        let middle = f64::midpoint(from, to);
        let column = whole(middle.floor()).min(self.width - 2);
        let west = middle - count(column);
        self.values[start + column] += fall * (1.0 - west);
        self.values[start + column + 1] += fall * west;
    }
}

/// The whole numbers of `within` whose unit steps meet `low` to `high`.
fn overlap(low: f64, high: f64, within: &Range<usize>) -> Range<usize> {
    let (start, end) = (count(within.start), count(within.end));
    whole(low.floor().clamp(start, end))..whole(high.ceil().clamp(start, end))
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held within the window before")]
fn whole(number: f64) -> usize {
    number.max(0.0) as usize
}
