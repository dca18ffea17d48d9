//! Layers as KML (OGC 12-007r2), for globes and telephones: the features of the GeoJSON layers with the same properties.

use geojson::{Feature, GeometryValue, JsonValue, Position};

use crate::exports::{layers::Layer, markup::escaped};

/// The document of one layer.
pub(super) fn document(layer: &Layer) -> String {
    let mut text = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<kml xmlns=\"http://www.opengis.net/kml/2.2\"><Document><name>{}</name>\n{STYLE}",
        escaped(layer.name)
    );
    for feature in &layer.features {
        text.push_str(&placemark(layer, feature));
    }
    text + "</Document></kml>\n"
}

/// Boundaries as lines over whatever lies beneath, the ground within them lightly veiled.
const STYLE: &str = "<Style id=\"drawn\"><LineStyle><color>ff2f4f1f</color><width>2</width></LineStyle>\
    <PolyStyle><color>402f6f2f</color></PolyStyle></Style>\n";

fn placemark(layer: &Layer, feature: &Feature) -> String {
    let data: String = layer
        .properties(feature)
        .map(|(name, value)| {
            format!("<Data name=\"{}\"><value>{}</value></Data>", escaped(name), escaped(&shown(value)))
        })
        .collect();
    let shape = feature.geometry.as_ref().map(|geometry| shape(&geometry.value)).unwrap_or_default();
    format!(
        "<Placemark><name>{}</name><styleUrl>#drawn</styleUrl><ExtendedData>{data}</ExtendedData>{shape}</Placemark>\n",
        escaped(&layer.title(feature))
    )
}

/// A property as text, numbers with no more than four digits behind the point: people read these.
pub(super) fn shown(value: &JsonValue) -> String {
    match value {
        JsonValue::String(text) => text.clone(),
        JsonValue::Number(number) => number
            .as_f64()
            .map_or_else(|| number.to_string(), |value| ((value * 1e4).round() / 1e4).to_string()),
        other => other.to_string(),
    }
}

fn shape(geometry: &GeometryValue) -> String {
    let many = |parts: Vec<String>| format!("<MultiGeometry>{}</MultiGeometry>", parts.concat());
    match geometry {
        GeometryValue::Point { coordinates } => point(coordinates),
        GeometryValue::MultiPoint { coordinates } => many(coordinates.iter().map(point).collect()),
        GeometryValue::LineString { coordinates } => line("LineString", coordinates),
        GeometryValue::MultiLineString { coordinates } => {
            many(coordinates.iter().map(|part| line("LineString", part)).collect())
        }
        GeometryValue::Polygon { coordinates } => polygon(coordinates),
        GeometryValue::MultiPolygon { coordinates } => {
            many(coordinates.iter().map(|part| polygon(part)).collect())
        }
        GeometryValue::GeometryCollection { geometries } => {
            many(geometries.iter().map(|part| shape(&part.value)).collect())
        }
    }
}

fn point(position: &Position) -> String {
    format!("<Point><coordinates>{}</coordinates></Point>", positions(std::slice::from_ref(position)))
}

fn line(kind: &str, corners: &[Position]) -> String {
    format!("<{kind}><coordinates>{}</coordinates></{kind}>", positions(corners))
}

fn polygon(rings: &[Vec<Position>]) -> String {
    let mut text = String::from("<Polygon>");
    for (at, ring) in rings.iter().enumerate() {
        let side = if at == 0 { "outerBoundaryIs" } else { "innerBoundaryIs" };
        text += &format!("<{side}>{}</{side}>", line("LinearRing", ring));
    }
    text + "</Polygon>"
}

fn positions(corners: &[Position]) -> String {
    corners.iter().map(|at| format!("{},{}", at[0], at[1])).collect::<Vec<_>>().join(" ")
}
