//! How many species there are and how evenly the stems are shared among them.
//!
//! Counts are of individuals; cover may stand in for them in [`shannon`] and [`simpson`], never in [`chao1`], which needs
//! whole numbers.

mod chao;
mod community;
mod indices;
mod jackknife;
mod rarefaction;

pub use chao::{Chao1, chao1};
pub use community::{Community, PlotCounts};
pub use indices::{evenness, richness, shannon, simpson};
pub use jackknife::jackknife;
pub use rarefaction::rarefied;
