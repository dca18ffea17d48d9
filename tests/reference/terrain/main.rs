//! The ground and what lies on it, against published values and other programs: what takes long to check, apart from the estimators.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    reason = "a test may stop at once"
)]

#[path = "../terrain_cases.rs"]
mod terrain_cases;

mod boundaries;
mod contours;
mod crs;
mod datums;
mod flow;
mod geodesic;
mod geotiff;
mod grid;
mod land;
mod layers;
mod rows;
mod slope;
