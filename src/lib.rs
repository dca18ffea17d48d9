//! Hillfolio turns a planting project's folder into checked figures, maps and typeset reports.

pub mod cli;
pub mod console;
pub mod draw;
pub mod estimate;
pub mod exports;
pub mod geometry;
pub mod intake;
pub mod ledger;
pub mod pack;
pub mod problem;
pub mod project;
pub mod source;
pub mod terrain;
pub mod units;
