//! The ground as it would look under a low sun.

use crate::{
    terrain::{Grid, Raster, gradient},
    units::Degrees,
};

/// Where the light comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Light {
    /// Direction of the sun, clockwise from grid north.
    pub azimuth: Degrees,
    /// Height of the sun above the horizon.
    pub altitude: Degrees,
    /// How many times heights are drawn larger.
    pub exaggeration: f64,
}

impl Default for Light {
    /// From the upper left of the sheet, as shaded maps have it: lit from below, hills look like hollows.
    fn default() -> Self {
        Light { azimuth: Degrees(315.0), altitude: Degrees(45.0), exaggeration: 1.0 }
    }
}

/// Brightness of every cell, 1 (in shadow) to 255 (facing the light); 0 where the slope is not known.
///
/// # Equation
/// 1 + 254 max(0, n · l), with n the ground's unit normal (−dz/dx, −dz/dy, 1) / √(1 + (dz/dx)² + (dz/dy)²) and l the unit
/// vector towards the light.
///
/// # Reference
/// Horn (1981), *Hill shading and the reflectance map*, Proceedings of the IEEE 69(1):14-47: a surface that scatters light
/// evenly (Lambert's).
#[must_use]
pub fn hillshade(grid: &Grid, light: Light) -> Raster<u8> {
    let (level, up) = (light.altitude.cos(), light.altitude.sin());
    let (east, north) = (level * light.azimuth.sin(), level * light.azimuth.cos());
    Raster::by_rows(&grid.lattice, |row, cells| {
        gradient::along_row(grid, row, |column, gradient| {
            let (dx, dy) = (gradient.east * light.exaggeration, gradient.north * light.exaggeration);
            let facing = (up - dx * east - dy * north) / (1.0 + dx * dx + dy * dy).sqrt();
            cells[column] = if facing.is_nan() { 0 } else { brightness(facing.max(0.0)) };
        });
    })
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 255")]
fn brightness(facing: f64) -> u8 {
    (1.5 + 254.0 * facing.min(1.0)) as u8
}
