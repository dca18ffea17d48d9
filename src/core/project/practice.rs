//! What an empty place on a survey sheet means, as the sheets themselves show it.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use crate::project::{CoverMeasure, CoverReading, Layer, Project};

impl CoverReading {
    /// Whether the reading says that there is none.
    #[must_use]
    pub fn is_nought(&self) -> bool {
        match &self.measure {
            CoverMeasure::Percent(percent) => *percent == 0.0,
            CoverMeasure::Hits { hits, .. } => *hits == 0,
            CoverMeasure::Class(class) => class.high == 0.0,
            // Of a line it says only that this line has none.
            CoverMeasure::Intercept { .. } => false,
        }
    }
}

impl Project {
    /// The layers in which a nought was ever written up to `day`. There a plot without a row was not read; elsewhere it has none, if its
    /// layer was read at all.
    #[must_use]
    pub fn layers_with_noughts(&self, day: NaiveDate) -> BTreeSet<Layer> {
        let noughts = self.cover.iter().filter(|reading| reading.date <= day && reading.is_nought());
        noughts.map(|reading| reading.layer).collect()
    }
}
