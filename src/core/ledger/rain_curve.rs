//! The curve of the period's rain, which a chart draws and no figure tells.

pub use crate::estimate::rain::Cumulative as CumulativeRain;
use crate::{estimate::rain, project::Project};

/// Cumulative rain of the period and of the same days in other years; `None` where no day was read, or too few other years.
#[must_use]
pub fn cumulative_rain(project: &Project) -> Option<CumulativeRain> {
    rain::cumulative(&project.rain, &(project.period.from..=project.period.to)).ok()
}
