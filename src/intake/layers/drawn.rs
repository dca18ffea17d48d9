//! A layer as it was drawn: features with their properties, before anybody knows what they mean.

use std::{collections::BTreeMap, sync::Arc};

use geojson::{GeoJson, GeometryValue};
use serde_json::Value;

use crate::{
    intake::{mapping::Mapping, nearest},
    problem::{Ground, Place, Problem, Reading},
    source::Row,
};

/// Corners that one shape may have: a corner every half metre round a hundred kilometres.
pub(super) const CORNERS: usize = 200_000;

/// One feature as it was drawn.
pub(super) struct Drawn {
    /// Its geometry, where it has one.
    pub(super) geometry: Option<GeometryValue>,
    /// Its number in the file, from 1.
    pub(super) source: Row,
    properties: BTreeMap<String, String>,
}

impl Drawn {
    /// The property called `name`, mapped or in any case; `None` where it is absent or empty.
    pub(super) fn property(&self, name: &str) -> Option<&str> {
        self.properties.get(&nearest::folded(name)).map(|text| text.trim()).filter(|text| !text.is_empty())
    }

    /// The names of its properties.
    pub(super) fn names(&self) -> impl Iterator<Item = &str> {
        self.properties.keys().map(String::as_str)
    }

    /// A problem of this feature, at a property or at the geometry.
    pub(super) fn problem(&self, kind: impl Into<crate::problem::Kind>, at: &str) -> Problem {
        Problem::new(kind, Place::row(&self.source).column(at))
    }
}

/// The features of the layer `text` in the file at `path`.
pub(super) fn drawn(path: &str, text: &str, mapping: &Mapping, problems: &mut Vec<Problem>) -> Vec<Drawn> {
    let layer = match text.trim_start_matches('\u{feff}').parse::<GeoJson>() {
        Ok(layer) => layer,
        Err(why) => {
            let why = why.to_string();
            // The library's own preface says what our sentence says.
            let why = why.trim_start_matches("Error while deserializing GeoJSON: ").to_owned();
            problems.push(Problem::new(Reading::Malformed { format: "GeoJSON", why }, Place::file(path)));
            return Vec::new();
        }
    };
    if let Some(found) = foreign_crs(&layer) {
        problems.push(Problem::new(Ground::CrsNotRead { found }, Place::file(path).column("crs")));
        return Vec::new();
    }
    let features: Vec<(Option<GeometryValue>, BTreeMap<String, String>)> = match layer {
        GeoJson::Geometry(geometry) => vec![(Some(geometry.value), BTreeMap::new())],
        GeoJson::Feature(feature) => vec![taken(feature, mapping)],
        GeoJson::FeatureCollection(layer) => {
            layer.features.into_iter().map(|feature| taken(feature, mapping)).collect()
        }
    };
    let file: Arc<str> = Arc::from(path);
    let row = |row| Row { file: Arc::clone(&file), row };
    (1..)
        .zip(features)
        .map(|(at, (geometry, properties))| Drawn { geometry, source: row(at), properties })
        .collect()
}

/// Geometry and properties of a feature, the properties under our names, each as text.
fn taken(feature: geojson::Feature, mapping: &Mapping) -> (Option<GeometryValue>, BTreeMap<String, String>) {
    let ours = |name: &str| {
        let mapped = mapping.columns.iter().find(|(theirs, _)| nearest::same(theirs, name));
        nearest::folded(mapped.map_or(name, |(_, ours)| ours))
    };
    let properties = feature.properties.unwrap_or_default();
    let text = |value: Value| match value {
        Value::Null => None,
        Value::String(text) => Some(text),
        other => Some(other.to_string()),
    };
    let named = properties.into_iter().filter_map(|(name, value)| Some((ours(&name), text(value)?)));
    (feature.geometry.map(|geometry| geometry.value), named.collect())
}

/// The name of a coordinate reference system other than longitude and latitude on WGS 84. The 2008 form of GeoJSON could
/// name one; RFC 7946 can't.
fn foreign_crs(layer: &GeoJson) -> Option<String> {
    let foreign = match layer {
        GeoJson::Geometry(geometry) => &geometry.foreign_members,
        GeoJson::Feature(feature) => &feature.foreign_members,
        GeoJson::FeatureCollection(layer) => &layer.foreign_members,
    };
    let crs = foreign.as_ref()?.get("crs")?;
    let name = crs.pointer("/properties/name").and_then(Value::as_str);
    let known = |name: &str| name.ends_with("CRS84") || name.ends_with(":4326") || name.ends_with("::4326");
    match (crs, name) {
        (Value::Null, _) => None,
        (_, Some(name)) if known(name) => None,
        (_, Some(name)) => Some(name.to_owned()),
        (other, None) => Some(other.to_string()),
    }
}
