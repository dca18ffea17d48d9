//! Map layers: planting areas, the features of the site and photo points, from GeoJSON, shapefiles, KML, KMZ and GPX.
//!
//! Whatever the format, a layer comes out as features with their properties and a geometry in longitude and latitude.

mod area_names;
mod areas;
mod called_otherwise;
mod closed;
mod dbf;
mod dos_letters;
mod drawn;
mod esri_json;
mod features;
mod file;
mod frame;
mod geo_json;
mod gpx;
mod kml;
mod left_out;
mod photo_points;
mod position;
mod rings;
mod shapefile;
mod shp;
mod stated;
mod strays;
mod word_list;

pub(crate) use areas::areas;
pub(crate) use called_otherwise::property_of;
pub(crate) use features::features;
pub(crate) use file::open;
pub(crate) use photo_points::photo_points;

/// Whether a name says that it is of a fence, a creek or the like.
pub(crate) fn names_a_feature(name: &str) -> bool {
    word_list::said(name).kind.is_some()
}
