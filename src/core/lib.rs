//! From a project folder to its figures: reading and checks, estimators, the plan and the ledger.
//!
//! Nothing here draws, typesets or writes, so a changed estimator is tested without the typesetter.

pub mod estimate;
pub mod geometry;
pub mod intake;
pub mod ledger;
pub mod plan;
pub mod problem;
pub mod project;
pub mod sharing;
pub mod source;
pub mod terrain;
pub mod units;
