//! Flow accumulation: how much ground drains through every cell.

use crate::terrain::{
    FlowDirections, Raster,
    depressions::{LEAVES, neighbour},
};

/// Area that enters each cell from above, in square metres, its own left out.
///
/// `barriers` marks cells that lead water away, such as drains, tracks and gullies: what enters them goes no further.
///
/// # Method
/// Every cell hands its own area and all that entered it to the one neighbour that takes its water. A cell is handed on
/// only after all that drain into it, and always in the same order, so the sums are the same every time.
#[must_use]
pub fn flow_accumulation(directions: &FlowDirections, barriers: Option<&[bool]>) -> Raster<f32> {
    let lattice = &directions.down.lattice;
    let (rows, columns) = (lattice.rows, lattice.columns);
    let down = &directions.down.values;
    let below =
        |cell: usize| if down[cell] == LEAVES { None } else { neighbour(cell, down[cell], rows, columns) };
    let mut waiting = vec![0u8; down.len()];
    for cell in 0..down.len() {
        if let Some(next) = below(cell) {
            waiting[next] += 1;
        }
    }
    let mut entered = vec![0.0f32; down.len()];
    for head in 0..down.len() {
        let mut cell = head;
        // A stream of cells, each ready when the last that drains into it has been handed on.
        while waiting[cell] == 0 {
            waiting[cell] = DONE;
            let Some(next) = below(cell) else { break };
            if !barriers.is_some_and(|barriers| barriers[cell]) {
                entered[next] += entered[cell] + own(lattice.cell_area(cell / columns).0);
            }
            waiting[next] -= 1;
            cell = next;
        }
    }
    for (cell, area) in entered.iter_mut().enumerate() {
        if directions.filled.values[cell].is_nan() {
            *area = f32::NAN;
        }
    }
    Raster { lattice: lattice.clone(), values: entered }
}

/// The cells that water may reach from beyond the terrain: those downhill of its edge, or of a hole in it.
///
/// Their true inflow may be larger than [`flow_accumulation`] says.
#[must_use]
pub fn fed_from_beyond(directions: &FlowDirections, barriers: Option<&[bool]>) -> Vec<bool> {
    let (rows, columns) = (directions.down.lattice.rows, directions.down.lattice.columns);
    let down = &directions.down.values;
    let known = |cell: usize| !directions.filled.values[cell].is_nan();
    let shore =
        |cell: usize| (0..8).any(|step| neighbour(cell, step, rows, columns).is_none_or(|one| !known(one)));
    let mut fed = vec![false; down.len()];
    for head in (0..down.len()).filter(|&cell| known(cell) && shore(cell)) {
        let mut cell = head;
        while !fed[cell] {
            fed[cell] = true;
            if barriers.is_some_and(|barriers| barriers[cell]) || down[cell] == LEAVES {
                break;
            }
            let Some(next) = neighbour(cell, down[cell], rows, columns) else { break };
            cell = next;
        }
    }
    fed
}

/// The mark of a cell that has been handed on.
const DONE: u8 = u8::MAX;

#[allow(clippy::cast_possible_truncation, reason = "a cell's area needs seven digits at most")]
fn own(area: f64) -> f32 {
    area as f32
}
