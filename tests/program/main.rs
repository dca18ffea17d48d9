//! The whole program: the real binary on the samples and on broken folders.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test may stop at once")]

mod broken;
mod commands;
mod compare;
mod corrections;
mod explain;
mod faults;
mod intake;
mod layers;
mod mangled;
mod photo_points;
mod samples;
mod sightings;
mod verify;
mod workbooks;
