//! Photo points and the pictures taken from them.

use std::sync::Arc;

use chrono::NaiveDate;
use geo::Point;

use crate::{project::AreaId, source::Row, units::Degrees};

/// A fixed photo point.
#[derive(Debug, Clone, PartialEq)]
pub struct PhotoPoint {
    /// Its id.
    pub id: Arc<str>,
    /// Where it stands: longitude and latitude in degrees (WGS 84).
    pub position: Point<f64>,
    /// Which way the camera looks: degrees clockwise from true north.
    pub bearing: Degrees,
    /// The area it looks at.
    pub area: Option<AreaId>,
    /// What it shows.
    pub about: Option<String>,
    /// The row of the table.
    pub source: Row,
}

/// One picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Photo {
    /// Path inside the project folder.
    pub path: Arc<str>,
    /// The photo point it was taken from.
    pub point: Arc<str>,
    /// The day it was taken.
    pub date: NaiveDate,
    /// What it shows.
    pub caption: Option<String>,
    /// SHA-256 of its bytes, by which a shrunk copy can be known again.
    pub sha256: Arc<str>,
}

impl Photo {
    /// Pixels that neither side of a picture may have more of: no camera gives them.
    pub const LONGEST_SIDE: u32 = 20_000;
}
