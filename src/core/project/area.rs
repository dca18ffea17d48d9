//! Planting areas.

use std::{fmt, sync::Arc};

use geo::MultiPolygon;

use crate::source::Row;

/// The id of a planting area, as it is written in the boundary file.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AreaId(pub Arc<str>);

impl fmt::Display for AreaId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// One planting area.
#[derive(Debug, Clone, PartialEq)]
pub struct Area {
    /// Its id.
    pub id: AreaId,
    /// Its boundary: longitude and latitude in degrees (WGS 84), valid, outer rings counter-clockwise.
    pub boundary: MultiPolygon<f64>,
    /// Hectares as stated in the boundary file.
    pub stated_hectares: Option<f64>,
    /// What the boundary file calls them.
    pub stated_as: Option<Arc<str>>,
    /// Whether the area is marked as frosty.
    pub frosty: bool,
    /// Whether it is marked as ground that dries out.
    pub dry: bool,
    /// Whether it is marked as ground where water stands.
    pub waterlogged: bool,
    /// Words about the area from the boundary file.
    pub note: Option<String>,
    /// The shape it came from.
    pub source: Row,
}

impl AreaId {
    /// Whether `name` means this area: names are the same whatever their case.
    #[must_use]
    pub fn is_called(&self, name: &str) -> bool {
        self.0.to_lowercase() == name.trim().to_lowercase()
    }
}
