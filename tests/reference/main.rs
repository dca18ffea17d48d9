//! Checks of the main job against something outside the project; each names its source.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test may stop at once")]

#[path = "../support/mod.rs"]
mod support;

mod contours;
mod estimates;
mod geodesic;
mod geotiff;
mod grid;
mod intervals;
mod ratios;
mod slope;
mod terrain_cases;
