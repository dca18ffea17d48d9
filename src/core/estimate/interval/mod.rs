//! Intervals: pure functions of counts, variances and degrees of freedom.

mod estimated;
mod order;
mod proportion;
pub mod quantile;

pub use estimated::{logit_t, poisson, symmetric_t};
pub use order::median_ranks;
pub use proportion::{clopper_pearson, wilson};
