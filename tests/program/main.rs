//! The whole program: the real binary on the samples and on broken folders.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    reason = "a test may stop at once"
)]

#[path = "../support/followed.rs"]
mod followed;
#[path = "../support/many.rs"]
mod many;

mod agreements;
mod answers;
mod broken;
mod catalogue;
mod closed_years;
mod commands;
mod compare;
mod coordinator;
mod corrections;
mod explain;
mod faults;
mod field;
mod forms;
mod intake;
mod layers;
mod mangled;
mod pasted;
mod pdf;
mod person;
mod photo_points;
mod portfolio;
mod samples;
mod sightings;
mod silent;
mod sound;
mod tables;
mod templates;
mod thumbnails;
mod verify;
mod workbooks;
