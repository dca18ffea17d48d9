//! Intervals: pure functions of counts, variances and degrees of freedom.

pub mod clustered;
mod estimated;
mod order;
mod proportion;
pub mod quantile;
mod woodruff;

pub use estimated::{Clumping, density, logit_t, poisson, symmetric_t};
pub use order::median_ranks;
pub use proportion::{clopper_pearson, wilson};
pub use woodruff::median_limits;
