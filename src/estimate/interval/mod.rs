//! Intervals about shares and means.

mod quantile;
mod share;

pub use quantile::{normal_deviate, t_deviate};
pub use share::{clopper_pearson, logit_t, wilson};
