//! The site map as a KMZ (OGC 12-007r2): a picture of the map laid over the ground, for globes and telephones that are offline on a hill.

use std::io::{Cursor, Write as _};

use geo::Point;
use zip::{CompressionMethod, DateTime, ZipWriter, write::SimpleFileOptions};

use crate::exports::{ExportError, markup::escaped};

/// Where in the zip the picture stands.
const PICTURE: &str = "files/site-map.png";

/// A picture of the ground and where it lies.
#[derive(Debug, Clone, PartialEq)]
pub struct GroundOverlay {
    /// The picture, a PNG.
    pub png: Vec<u8>,
    /// Longitude and latitude of its middle.
    pub middle: Point<f64>,
    /// From its middle to its right and to its upper edge, in degrees of longitude and latitude.
    pub half: (f64, f64),
    /// By how many degrees its upper edge is turned from north, clockwise.
    pub azimuth: f64,
}

/// The KMZ of `overlay`, called `name`.
pub(super) fn document(name: &str, overlay: &GroundOverlay) -> Result<Vec<u8>, ExportError> {
    let (Point(middle), (east, north)) = (overlay.middle, overlay.half);
    let text = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<kml xmlns=\"http://www.opengis.net/kml/2.2\"><GroundOverlay><name>{}</name>\
         <Icon><href>{PICTURE}</href></Icon><LatLonBox><north>{:.7}</north><south>{:.7}</south><east>{:.7}</east><west>{:.7}</west>\
         <rotation>{:.4}</rotation></LatLonBox></GroundOverlay></kml>\n",
        escaped(name),
        middle.y + north,
        middle.y - north,
        middle.x + east,
        middle.x - east,
        // KML turns the other way round.
        -overlay.azimuth,
    );
    let mut zip = ZipWriter::new(Cursor::new(vec![]));
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .last_modified_time(DateTime::default())
        .unix_permissions(0o644);
    zip.start_file("doc.kml", options)?;
    zip.write_all(text.as_bytes())?;
    // A PNG is deflated already.
    zip.start_file(PICTURE, options.compression_method(CompressionMethod::Stored))?;
    zip.write_all(&overlay.png)?;
    Ok(zip.finish()?.into_inner())
}
