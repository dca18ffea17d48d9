//! Layers as GPX 1.1, for the receivers that people walk with: points as waypoints, lines and boundaries as tracks, rows to be
//! set out as routes.
//!
//! A hole is a track of its own, since a track can't say that it leaves something out.

use geojson::{GeometryValue, Position};

use crate::exports::{kml::shown, layers::Layer, markup::escaped};

/// The document of one layer.
pub(super) fn document(layer: &Layer) -> String {
    let (mut points, mut tracks) = (String::new(), String::new());
    for feature in &layer.features {
        let Some(geometry) = &feature.geometry else { continue };
        // Receivers know no properties: they read names, descriptions and types.
        let said: Vec<String> =
            layer.properties(feature).map(|(name, value)| format!("{name}: {}", shown(value))).collect();
        let kind = feature.property("kind").map_or_else(|| layer.one.to_owned(), shown);
        let named = |name: &str| {
            let description = if said.is_empty() {
                String::new()
            } else {
                format!("<desc>{}</desc>", escaped(&said.join("; ")))
            };
            format!("<name>{}</name>{description}<type>{}</type>", escaped(name), escaped(&kind))
        };
        let title = layer.title(feature);
        let mut parts = Parts::default();
        parts.take(&geometry.value);
        for point in &parts.points {
            points.push_str(&format!("<wpt {}>{}</wpt>\n", at(point), named(&title)));
        }
        if !parts.lines.is_empty() {
            let drawn = if layer.planned { route } else { track };
            tracks.push_str(&drawn(&named(&title), &parts.lines));
        }
        for (nth, hole) in (1..).zip(&parts.holes) {
            tracks.push_str(&track(&named(&format!("{title}, left out {nth}")), std::slice::from_ref(hole)));
        }
    }
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"Hillfolio\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n\
         <metadata><name>{}</name></metadata>\n{points}{tracks}</gpx>\n",
        escaped(layer.name)
    )
}

/// What of a geometry can stand in a GPX.
#[derive(Default)]
struct Parts<'g> {
    points: Vec<&'g Position>,
    lines: Vec<&'g [Position]>,
    holes: Vec<&'g [Position]>,
}

impl<'g> Parts<'g> {
    fn take(&mut self, geometry: &'g GeometryValue) {
        match geometry {
            GeometryValue::Point { coordinates } => self.points.push(coordinates),
            GeometryValue::MultiPoint { coordinates } => self.points.extend(coordinates),
            GeometryValue::LineString { coordinates } => self.lines.push(coordinates),
            GeometryValue::MultiLineString { coordinates } => {
                self.lines.extend(coordinates.iter().map(Vec::as_slice));
            }
            GeometryValue::Polygon { coordinates } => self.polygon(coordinates),
            GeometryValue::MultiPolygon { coordinates } => {
                coordinates.iter().for_each(|polygon| self.polygon(polygon));
            }
            GeometryValue::GeometryCollection { geometries } => {
                geometries.iter().for_each(|part| self.take(&part.value));
            }
        }
    }

    fn polygon(&mut self, rings: &'g [Vec<Position>]) {
        let mut rings = rings.iter().map(Vec::as_slice);
        self.lines.extend(rings.next());
        self.holes.extend(rings);
    }
}

fn track(head: &str, lines: &[&[Position]]) -> String {
    let segment = |line: &&[Position]| {
        let points: String = line.iter().map(|point| format!("<trkpt {}/>", at(point))).collect();
        format!("<trkseg>{points}</trkseg>")
    };
    format!("<trk>{head}{}</trk>\n", lines.iter().map(segment).collect::<String>())
}

/// What is still to be walked: a route a line, since a route has no segments.
fn route(head: &str, lines: &[&[Position]]) -> String {
    let one = |line: &&[Position]| {
        let points: String = line.iter().map(|point| format!("<rtept {}/>", at(point))).collect();
        format!("<rte>{head}{points}</rte>\n")
    };
    lines.iter().map(one).collect()
}

fn at(position: &Position) -> String {
    format!("lat=\"{}\" lon=\"{}\"", position[1], position[0])
}
