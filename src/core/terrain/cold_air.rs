//! Cold-air pooling: where the air of a clear, still night gathers, and frost with it.

use crate::terrain::{FlowDirections, Grid, Raster, TopographicPosition};

/// On ground steeper than this cold air drains on, degrees (common practice, no source).
pub const STILL: f64 = 10.0;

/// Frost hollows lie lower than all but this share of the ground about them (common practice, no source).
pub const LOWEST_SHARE: f64 = 1.0 / 3.0;

/// Ground about a hollow rises and falls by at least this, m: on a plain no place is lower than another (common practice, no source).
pub const RELIEF: f64 = 5.0;

/// From so much ground cold air drains into a hollow, m² (common practice, no source).
pub const DRAINED: f64 = 2_000.0;

/// Whether cold air pools in each cell; never where its position or its slope is not known.
///
/// # Method
/// Cells that lie low and concave among the ground about them (percentile elevation, topographic position index below 0), are flat,
/// and take in the drainage of enough ground, cold air being led down as water is. A cell in a closed depression is flat and takes
/// the slope of the surface that fills it.
///
/// # Reference
/// Lundquist, Pepin and Rochford (2008), *Automated algorithm for mapping regions of cold-air pooling in complex terrain*, Journal of
/// Geophysical Research 113:D22107, for flat slopes, negative curvature and low percentile; drainage by flow accumulation: Chung and
/// others (2006), *Minimum temperature mapping over complex terrain by estimating cold air accumulation potential*, Agricultural and
/// Forest Meteorology 137:15-24.
#[must_use]
pub fn cold_air_pools(
    slope: &Grid,
    position: &TopographicPosition,
    directions: &FlowDirections,
    inflow: &Raster<f32>,
    grid: &Grid,
) -> Raster<bool> {
    Raster::by_rows(&slope.lattice, |row, cells| {
        let (slope, inflow) = (slope.row(row), inflow.row(row));
        let (index, lower, relief) =
            (position.index.row(row), position.lower.row(row), position.relief.row(row));
        let (filled, ground) = (directions.filled.row(row), grid.row(row));
        for (column, cell) in cells.iter_mut().enumerate() {
            let closed = filled[column] > ground[column];
            let flat = closed || f64::from(slope[column]) < STILL;
            let low = f64::from(lower[column]) <= LOWEST_SHARE && index[column] < 0.0;
            let among = f64::from(relief[column]) >= RELIEF;
            *cell = flat && low && among && f64::from(inflow[column]) >= DRAINED;
        }
    })
}
