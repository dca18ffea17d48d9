//! Checks of the main job against something outside the project; each names its source.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    reason = "a test may stop at once"
)]

#[path = "../support/mod.rs"]
mod support;

mod carbon;
mod contours;
mod cover;
mod cover_factor;
mod datums;
mod diversity;
mod erodibility;
mod erosion_checks;
mod erosivity;
mod estimates;
mod flow;
mod geodesic;
mod geotiff;
mod grid;
mod intervals;
mod joined;
mod layers;
mod lifetime;
mod ls;
mod rain;
mod ratios;
mod rows;
mod slope;
mod soil_loss;
mod terrain_cases;
