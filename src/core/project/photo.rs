//! Photo points and the pictures taken from them.

use std::sync::Arc;

use chrono::NaiveDate;
use geo::Point;

use crate::{
    project::{AreaId, Claims, Column, TableRow},
    source::Row,
    units::Degrees,
};

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
    /// The photo point it was taken from; `None` for a picture of the work.
    pub point: Option<Arc<str>>,
    /// The area of a picture of the work, where its own place tells.
    pub area: Option<AreaId>,
    /// The day it was taken.
    pub date: NaiveDate,
    /// What it shows.
    pub caption: Option<String>,
    /// The agreements that it names.
    pub claims: Claims,
    /// SHA-256 of its bytes, by which a shrunk copy can be known again.
    pub sha256: Arc<str>,
}

impl Photo {
    /// Pixels that neither side of a picture may have more of: no camera gives them.
    pub const LONGEST_SIDE: u32 = 20_000;
}

impl TableRow for PhotoPoint {
    const TABLE: &'static str = "photopoints";
    const COLUMNS: &'static [Column<PhotoPoint>] = &[
        Column::needed("photopoint", |row| (&row.id).into()),
        Column::needed("longitude", |row| row.position.x().into()),
        Column::needed("latitude", |row| row.position.y().into()),
        Column::needed("bearing_deg", |row| row.bearing.0.into()),
        Column::optional("area", |row| row.area.as_ref().into()),
        Column::optional("about", |row| row.about.as_ref().into()),
    ];
}

impl TableRow for Photo {
    const TABLE: &'static str = "photos";
    const COLUMNS: &'static [Column<Photo>] = &[
        Column::needed("file", |row| (&row.path).into()),
        Column::optional("photopoint", |row| row.point.as_ref().into()),
        Column::optional("date", |row| row.date.into()),
        Column::optional("caption", |row| row.caption.as_ref().into()),
        Column::where_used("agreement", |row| (&row.claims).into()),
    ];
}
