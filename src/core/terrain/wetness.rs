//! Topographic wetness index: where water gathers and stays.

use crate::terrain::{Grid, Raster};

/// Ground flatter than this counts as falling this much: the index of level ground would be without end (common practice, no source).
const LEAST_FALL: f64 = 0.001;

/// Topographic wetness index of every cell, ln(a / tan β); NaN where the slope or the inflow is not known.
///
/// # Equation
/// a = (A + c) / √c, the area that drains through a cell for each metre of contour, with A the area that enters it and c its own
/// (m²), the width of a cell taken as the length of contour; β the slope by Horn's differences, tan β at least 0.001.
///
/// # Reference
/// Beven and Kirkby (1979), *A physically based, variable contributing area model of basin hydrology*, Hydrological Sciences Bulletin
/// 24(1):43-69.
#[must_use]
pub fn wetness_index(slope: &Grid, inflow: &Raster<f32>) -> Grid {
    Raster::by_rows(&slope.lattice, |row, cells| {
        let own = slope.lattice.cell_area(row).0;
        let width = own.sqrt();
        let given = slope.row(row).iter().zip(inflow.row(row));
        for (cell, (slope, inflow)) in cells.iter_mut().zip(given) {
            let fall = libm::tan(f64::from(*slope).to_radians());
            let fall = if fall.is_nan() { fall } else { fall.max(LEAST_FALL) };
            *cell = single(libm::log((f64::from(*inflow) + own) / width / fall));
        }
    })
}

#[allow(clippy::cast_possible_truncation, reason = "an index needs seven digits at most")]
fn single(value: f64) -> f32 {
    value as f32
}
