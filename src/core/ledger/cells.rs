//! Figures of every cell of the ground, which maps draw.

use std::sync::Arc;

use crate::{terrain::Raster, units::Degrees};

/// What stands in every cell of the terrain model; NaN where nothing does.
#[derive(Debug, Clone, PartialEq)]
pub struct CellFigures {
    /// Slope in degrees.
    pub slope: Arc<Raster<f32>>,
    /// Where slope classes part, gentlest first; a slope on a break belongs to the steeper class.
    pub breaks: Vec<Degrees>,
    /// Soil lost in a year, where all that it needs is known.
    pub loss: Option<CellLoss>,
}

/// Sheet and rill erosion of every cell within the areas, in t/(ha.yr). Its cells may be larger than those of the slope.
#[derive(Debug, Clone, PartialEq)]
pub struct CellLoss {
    /// Under the cover as it was before the work began.
    pub before: Arc<Raster<f32>>,
    /// Under the cover of the latest survey; NaN in areas that were not surveyed.
    pub now: Arc<Raster<f32>>,
}
