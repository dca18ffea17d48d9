//! The heights of the ground about the planting areas.

use std::sync::Arc;

use crate::{source::Sources, terrain::Grid};

/// The part of a terrain model that the project lies on.
#[derive(Debug, Clone, PartialEq)]
pub struct Ground {
    /// Heights, with enough ground uphill for the water that comes down.
    pub heights: Arc<Grid>,
    /// The file inside the project folder.
    pub file: Arc<str>,
}

impl Ground {
    /// Where its figures come from.
    #[must_use]
    pub fn sources(&self) -> Sources {
        Sources::whole(Arc::clone(&self.file))
    }
}
