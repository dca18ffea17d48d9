//! Checks of the main job against something outside the project; each names its source.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test may stop at once")]

#[path = "../support/mod.rs"]
mod support;

mod estimates;
mod geodesic;
mod grid;
mod intervals;
mod ratios;
