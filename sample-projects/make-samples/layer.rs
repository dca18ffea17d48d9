//! Boundaries and features as GeoJSON (RFC 7946), one feature on a line so that a change reads as one.

use super::hill::{Hill, Spot};

/// The shape of a feature.
pub(crate) enum Shape {
    Point(Spot),
    Line(Vec<Spot>),
    /// Rings of one polygon: the outer one, then holes.
    Polygon(Vec<Vec<Spot>>),
    /// Polygons of one multipolygon.
    Parts(Vec<Vec<Vec<Spot>>>),
}

/// A feature: its properties as JSON, and its shape.
pub(crate) struct Feature {
    pub(crate) properties: serde_json::Value,
    pub(crate) shape: Shape,
}

/// The layer as a file.
pub(crate) fn layer(hill: &Hill, features: &[Feature]) -> Vec<u8> {
    let lines: Vec<String> = features.iter().map(|feature| written(hill, feature)).collect();
    format!("{{\"type\":\"FeatureCollection\",\"features\":[\n{}\n]}}\n", lines.join(",\n")).into_bytes()
}

fn written(hill: &Hill, feature: &Feature) -> String {
    let (kind, coordinates) = match &feature.shape {
        Shape::Point(spot) => ("Point", corner(hill, *spot)),
        Shape::Line(spots) => ("LineString", corners(hill, spots)),
        Shape::Polygon(rings) => ("Polygon", list(rings, |ring| corners(hill, ring))),
        Shape::Parts(parts) => ("MultiPolygon", list(parts, |rings| list(rings, |ring| corners(hill, ring)))),
    };
    let properties = &feature.properties;
    format!(
        "{{\"type\":\"Feature\",\"properties\":{properties},\"geometry\":{{\"type\":\"{kind}\",\"coordinates\":{coordinates}}}}}"
    )
}

fn corners(hill: &Hill, spots: &[Spot]) -> String {
    list(spots, |spot| corner(hill, *spot))
}

/// Seven decimals of a degree are a centimetre.
fn corner(hill: &Hill, spot: Spot) -> String {
    let (longitude, latitude) = hill.position(spot);
    format!("[{longitude:.7},{latitude:.7}]")
}

fn list<T>(things: &[T], write: impl Fn(&T) -> String) -> String {
    format!("[{}]", things.iter().map(write).collect::<Vec<_>>().join(","))
}
