//! GeoJSON (RFC 7946), and the member `crs` of its edition of 2008.

use geojson::{Feature, FeatureCollection, GeoJson, Geometry, JsonObject, feature::Id};
use serde_json::Value;

use crate::{
    geometry::{Datum, System},
    intake::layers::{
        drawn::Figure,
        esri_json,
        frame::{Extent, Frame, Unplaced},
    },
    problem::{Ground, Kind, Reading},
};

/// The features in `text`, brought to longitude and latitude on `datum`; `told` is the EPSG code of the system that the
/// settings name for the layer.
pub(super) fn figures(
    text: &str,
    datum: Datum,
    told: Option<u16>,
    say: &mut dyn FnMut(Kind),
) -> Result<Vec<Figure>, Kind> {
    let text = text.trim_start_matches('\u{feff}');
    if esri_json::is_topology(text) {
        return Err(Ground::Topology.into());
    }
    let converted = esri_json::as_geojson(text);
    let text = converted.as_deref().unwrap_or(text);
    let layer = text.parse::<GeoJson>().or_else(|why| by_lines(text).ok_or(why)).map_err(|why| {
        let why = why.to_string();
        // The library's own preface says what our sentence says.
        let why = why.trim_start_matches("Error while deserializing GeoJSON: ").to_owned();
        Kind::from(Reading::Malformed { format: "GeoJSON", why })
    })?;
    let system = match told.and_then(System::of_epsg) {
        Some(told) => Some(told),
        None => crs(&layer)?,
    };
    let features = match layer {
        GeoJson::Geometry(geometry) => vec![(Some(geometry), JsonObject::new())],
        GeoJson::Feature(feature) => vec![told_of(feature)],
        GeoJson::FeatureCollection(layer) => layer.features.into_iter().map(told_of).collect(),
    };
    let (shapes, properties): (Vec<Unplaced>, Vec<JsonObject>) = features
        .into_iter()
        .map(|(shape, properties)| (shape.map(|shape| shape.value).ok_or(Ground::NoShape), properties))
        .unzip();
    let frame = match system {
        Some(system) => Some(Frame::new(system, &Extent::of(&shapes), datum, say)?),
        None => None,
    };
    let figure = |(number, (shape, properties)): (u32, (Unplaced, JsonObject))| {
        let geometry = match &frame {
            Some(frame) => shape.and_then(|geometry| frame.placed(geometry)),
            None => shape,
        };
        let properties = properties.into_iter().filter_map(|(name, value)| Some((name, text_of(value)?)));
        Figure { number, geometry, properties: properties.collect() }
    };
    Ok((1..).zip(shapes.into_iter().zip(properties)).map(figure).collect())
}

/// The geometry of a feature and its properties; an id that stands beside these in words is one of them.
fn told_of(feature: Feature) -> (Option<Geometry>, JsonObject) {
    let mut properties = feature.properties.unwrap_or_default();
    if let Some(Id::String(id)) = feature.id
        && !properties.contains_key("id")
    {
        properties.insert("id".to_owned(), Value::String(id));
    }
    (feature.geometry, properties)
}

/// A layer whose features stand in a line each (RFC 8142, with or without its record separators); `None` where they do not.
fn by_lines(text: &str) -> Option<GeoJson> {
    let lines = text.split(['\n', '\u{1e}']).map(str::trim).filter(|line| !line.is_empty());
    let feature = |line: &str| match line.parse::<GeoJson>().ok()? {
        GeoJson::Feature(feature) => Some(feature),
        _ => None,
    };
    let features: Vec<Feature> = lines.map(feature).collect::<Option<_>>()?;
    Some(GeoJson::FeatureCollection(FeatureCollection { bbox: None, features, foreign_members: None }))
}

fn text_of(value: Value) -> Option<String> {
    match value {
        Value::Null => None,
        Value::String(text) => Some(text),
        other => Some(other.to_string()),
    }
}

/// The coordinate reference system that the layer names; `None` where it names none or WGS 84. The 2008 form of GeoJSON
/// could name another; RFC 7946 can't.
fn crs(layer: &GeoJson) -> Result<Option<System>, Ground> {
    let foreign = match layer {
        GeoJson::Geometry(geometry) => &geometry.foreign_members,
        GeoJson::Feature(feature) => &feature.foreign_members,
        GeoJson::FeatureCollection(layer) => &layer.foreign_members,
    };
    let Some(crs) = foreign.as_ref().and_then(|members| members.get("crs")) else { return Ok(None) };
    if crs.is_null() {
        return Ok(None);
    }
    // The form before that of 2008 has the code alone.
    let code =
        crs.pointer("/properties/code").filter(|_| crs.pointer("/type").is_some_and(|it| it == "EPSG"));
    let code = code.map(|code| format!("EPSG:{}", code.to_string().trim_matches('"')));
    let name = crs.pointer("/properties/name").and_then(Value::as_str).or(code.as_deref());
    let Some(name) = name else {
        return Err(Ground::CrsNotRead { found: crs.to_string().chars().take(80).collect(), table: None });
    };
    if name.ends_with("CRS84") {
        return Ok(None);
    }
    let code = name.rsplit(':').next().filter(|_| name.to_ascii_uppercase().contains("EPSG"));
    match code.and_then(|code| code.parse().ok()) {
        Some(4326) => Ok(None),
        epsg => {
            let system = epsg.and_then(System::of_epsg);
            system.map(Some).ok_or_else(|| Ground::CrsNotRead { found: name.to_owned(), table: None })
        }
    }
}
