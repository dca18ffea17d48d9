//! Map layers: planting areas and the features of the site, from GeoJSON (RFC 7946).

mod areas;
mod drawn;
mod features;
mod position;

pub(crate) use areas::areas;
pub(crate) use features::features;
