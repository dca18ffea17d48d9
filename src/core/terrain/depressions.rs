//! Depression filling by priority flood, and D8 flow directions: the way that water takes from every cell.

use std::{cmp::Reverse, collections::BinaryHeap, collections::VecDeque};

use crate::terrain::{Grid, Raster};

/// Row and column steps to the eight neighbours, clockwise from the north.
pub(crate) const STEPS: [(isize, isize); 8] =
    [(-1, 0), (-1, 1), (0, 1), (1, 1), (1, 0), (1, -1), (0, -1), (-1, -1)];

/// The mark of a cell whose water leaves the grid, or that has no height.
pub(crate) const LEAVES: u8 = 8;

/// Flow directions of a grid (D8): where the water of each cell goes.
#[derive(Debug, Clone, PartialEq)]
pub struct FlowDirections {
    /// Heights with every hollow filled to its lip.
    pub filled: Grid,
    /// For each cell the neighbour that takes its water, 0 to 7 clockwise from the north; 8 where the water leaves the grid.
    pub down: Raster<u8>,
}

/// Fills depressions by priority flood and leads the water of every cell to the edge, or to ground of unknown height.
///
/// # Method
/// From the edge inwards, always the lowest cell first; a cell below the one it is reached from is raised to it, and hollows
/// are taken in a plain queue. Water takes the steepest of eight ways down, from the edge too; on level and filled ground it goes
/// back the way from which the cell was reached, which ends at the lip; at the edge, where no way goes down, it leaves. Of cells of equal height the one further north-west comes first, so
/// that the answer does not depend on the machine.
///
/// # Reference
/// Barnes, Lehman and Mulla (2014), *Priority-flood: an optimal depression-filling and watershed-labeling algorithm for digital
/// elevation models*, Computers & Geosciences 62:117-127, algorithm 2. Eight ways: O'Callaghan and Mark (1984), Computer
/// Vision, Graphics, and Image Processing 28:323-344.
#[must_use]
pub fn fill_depressions(grid: &Grid) -> FlowDirections {
    let mut flood = Flood::of(grid);
    flood.run();
    let Flood { heights, reached, .. } = flood;
    let filled = Raster { lattice: grid.lattice.clone(), values: heights };
    let down = Raster::by_rows(&grid.lattice, |row, cells| {
        let from = row * filled.lattice.columns;
        let back = &reached[from..from + cells.len()];
        steepest(&filled, row, back, cells);
    });
    FlowDirections { filled, down }
}

const UNSEEN: u8 = 9;

struct Flood {
    columns: usize,
    rows: usize,
    heights: Vec<f32>,
    /// Step back to the neighbour from which a cell was reached.
    reached: Vec<u8>,
    /// Lowest first; of equals the first in the grid. Height and cell packed into one number.
    open: BinaryHeap<Reverse<u64>>,
    hollow: VecDeque<usize>,
}

impl Flood {
    fn of(grid: &Grid) -> Flood {
        let (rows, columns) = (grid.lattice.rows, grid.lattice.columns);
        let mut flood = Flood {
            columns,
            rows,
            heights: grid.values.clone(),
            reached: vec![UNSEEN; grid.values.len()],
            open: BinaryHeap::new(),
            hollow: VecDeque::new(),
        };
        for cell in 0..grid.values.len() {
            if grid.values[cell].is_nan() {
                flood.reached[cell] = LEAVES;
            } else if flood.is_shore(grid, cell) {
                flood.reached[cell] = LEAVES;
                flood.open.push(Reverse(key(grid.values[cell], cell)));
            }
        }
        flood
    }

    /// On the grid's edge, or beside a cell of unknown height.
    fn is_shore(&self, grid: &Grid, cell: usize) -> bool {
        (0..8).any(|step| {
            neighbour(cell, step, self.rows, self.columns).is_none_or(|one| grid.values[one].is_nan())
        })
    }

    fn run(&mut self) {
        while let Some(cell) = self.next() {
            let level = self.heights[cell];
            for step in 0..8 {
                let Some(one) = neighbour(cell, step, self.rows, self.columns) else { continue };
                if self.reached[one] != UNSEEN {
                    continue;
                }
                self.reached[one] = (step + 4) % 8;
                if self.heights[one] <= level {
                    self.heights[one] = level;
                    self.hollow.push_back(one);
                } else {
                    self.open.push(Reverse(key(self.heights[one], one)));
                }
            }
        }
    }

    fn next(&mut self) -> Option<usize> {
        self.hollow.pop_front().or_else(|| self.open.pop().map(|Reverse(packed)| low_half(packed)))
    }
}

/// The cell beside `cell`, one step of the compass on.
pub(crate) fn neighbour(cell: usize, step: u8, rows: usize, columns: usize) -> Option<usize> {
    let (down, right) = *STEPS.get(usize::from(step))?;
    let row = (cell / columns).checked_add_signed(down).filter(|&row| row < rows)?;
    let column = (cell % columns).checked_add_signed(right).filter(|&column| column < columns)?;
    Some(row * columns + column)
}

/// A number that orders by height, then by cell. Grids are held to less than 2³² cells by the readers.
fn key(height: f32, cell: usize) -> u64 {
    let bits = height.to_bits();
    let ordered = if bits & 0x8000_0000 == 0 { bits | 0x8000_0000 } else { !bits };
    u64::from(ordered) << 32 | (cell as u64 & 0xffff_ffff)
}

#[allow(clippy::cast_possible_truncation, reason = "the lower half is meant")]
fn low_half(packed: u64) -> usize {
    (packed & 0xffff_ffff) as usize
}

/// The steepest way down from each cell of `row`; where none goes down, the way back.
fn steepest(filled: &Grid, row: usize, back: &[u8], cells: &mut [u8]) {
    let lattice = &filled.lattice;
    let (width, height) = lattice.cell_metres(row);
    let diagonal = (width * width + height * height).sqrt();
    let far = [height, diagonal, width, diagonal, height, diagonal, width, diagonal].map(|side| 1.0 / side);
    for (column, way) in cells.iter_mut().enumerate() {
        *way = back[column];
        let cell = row * lattice.columns + column;
        // Of a cell without a height no fall is more than nothing, so its water stays marked as gone.
        let here = f64::from(filled.values[cell]);
        let mut most = 0.0;
        for (step, part) in (0u8..).zip(far) {
            let Some(one) = neighbour(cell, step, lattice.rows, lattice.columns) else { continue };
            let fall = (here - f64::from(filled.values[one])) * part;
            if fall > most {
                (most, *way) = (fall, step);
            }
        }
    }
}
