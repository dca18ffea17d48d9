//! GPX tracks, routes and waypoints. Heights, times and whatever programs add of their own are passed over.
//!
//! # Reference
//! Topografix (2004), *GPX 1.1 Schema Documentation*; 1.0 has the same elements. Positions are on WGS 84.

use geojson::{GeometryValue, Position};

use crate::{
    intake::{
        layers::drawn::{Figure, number},
        xml::{Node, Tag, Xml},
    },
    problem::{Ground, Kind, Reading},
};

/// The tracks, routes and waypoints of the document `text`, in its order.
pub(super) fn figures(text: &str, _say: &mut dyn FnMut(Kind)) -> Result<Vec<Figure>, Kind> {
    let malformed = |why| Kind::from(Reading::Malformed { format: "GPX", why });
    let mut xml = Xml::new(text);
    let (mut figures, mut root) = (Vec::new(), false);
    let (mut document, mut within_metadata) = (String::new(), false);
    while let Some(node) = xml.next().map_err(malformed)? {
        let Node::Open(tag) = node else { continue };
        root |= xml.depth() == 1 && tag.name() == "gpx";
        match (xml.depth(), tag.name()) {
            // The first edition has the document's name beside the tracks, the second in a part of its own.
            (2, "name") => document = xml.rest().map_err(malformed)?,
            (2, name) => within_metadata = name == "metadata",
            (3, "name") if within_metadata => document = xml.rest().map_err(malformed)?,
            _ => {}
        }
        if matches!(tag.name(), "wpt" | "rte" | "trk") && xml.depth() == 2 {
            let mut one = figure(&mut xml, &tag, number(figures.len())).map_err(malformed)?;
            one.properties.push(("document".to_owned(), document.clone()));
            figures.push(one);
        }
    }
    if !root {
        return Err(malformed("its first element is not called gpx".to_owned()));
    }
    Ok(figures)
}

/// The waypoint, route or track that has just begun.
fn figure(xml: &mut Xml<'_>, tag: &Tag<'_>, number: u32) -> Result<Figure, String> {
    let point = tag.name() == "wpt";
    let mut lines = vec![Vec::new()];
    let mut wrong = None;
    let mut at = |tag: &Tag<'_>, line: &mut Vec<Position>| {
        let degrees = |name| tag.attribute(name).unwrap_or_else(|| "(nothing)".to_owned());
        let (longitude, latitude) = (degrees("lon"), degrees("lat"));
        match (longitude.trim().parse::<f64>(), latitude.trim().parse::<f64>()) {
            (Ok(x), Ok(y)) => line.push(Position::from([x, y])),
            _ => {
                wrong.get_or_insert(Ground::NotOnEarth { longitude, latitude });
            }
        }
    };
    if point {
        at(tag, &mut lines[0]);
    }
    let (mut properties, within) = (Vec::new(), xml.depth());
    while xml.depth() >= within {
        let Some(node) = xml.next()? else { break };
        let Node::Open(tag) = node else { continue };
        let ours = match tag.name() {
            "name" => Some("name"),
            "type" => Some("kind"),
            "desc" | "cmt" => Some("note"),
            _ => None,
        };
        if let Some(ours) = ours.filter(|_| xml.depth() == within + 1) {
            properties.push((ours.to_owned(), xml.rest()?));
            continue;
        }
        match tag.name() {
            // A pause in the recording begins a segment of its own.
            "trkseg" if lines.last().is_some_and(|line| !line.is_empty()) => lines.push(Vec::new()),
            "trkpt" | "rtept" => {
                if let Some(line) = lines.last_mut() {
                    at(&tag, line);
                }
            }
            _ => {}
        }
    }
    // A segment of one position is no line: a receiver that found itself and lost itself again.
    let least = if lines.iter().any(|line| line.len() > 1) { 2 } else { 1 };
    lines.retain(|line| line.len() >= least);
    let geometry = match (wrong, lines.len()) {
        (Some(wrong), _) => Err(wrong),
        (None, 0) => Err(Ground::NoShape),
        (None, 1) if point => Ok(GeometryValue::Point { coordinates: lines.swap_remove(0).swap_remove(0) }),
        (None, 1) => Ok(GeometryValue::LineString { coordinates: lines.swap_remove(0) }),
        (None, _) => Ok(GeometryValue::MultiLineString { coordinates: lines }),
    };
    Ok(Figure { number, geometry, properties })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Vec<Figure>, Kind> {
        figures(text, &mut |_| {})
    }

    #[test]
    fn tracks_routes_and_waypoints_are_read() {
        let text = r#"<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><metadata><name>walk</name></metadata>
            <wpt lat="-36" lon="148"><ele>800</ele><name>Gate 1</name><type>gate</type></wpt>
            <rte><name>Fence</name><type>fence</type><rtept lat="-36" lon="148"><name>start</name></rtept><rtept lat="-36.1" lon="148"/></rte>
            <trk><name>North</name><trkseg/><trkseg><trkpt lat="-36" lon="148"/><trkpt lat="-36" lon="148.1"/></trkseg>
            <trkseg><trkpt lat="-35.9" lon="148.1"/></trkseg></trk></gpx>"#;
        let figures = read(text).unwrap();
        let types: Vec<_> = figures.iter().map(|one| one.geometry.as_ref().unwrap().type_name()).collect();
        assert_eq!(types, ["Point", "LineString", "LineString"], "one position is no segment");
        let pair = |name: &str, text: &str| (name.to_owned(), text.to_owned());
        assert_eq!(figures[1].properties.len(), 3, "a point's own name is not the route's");
        assert_eq!(figures[2].properties, [pair("name", "North"), pair("document", "walk")]);
    }

    #[test]
    fn what_is_no_position_is_said() {
        let text = "<gpx><wpt lat=\"x\" lon=\"148\"/><trk/></gpx>";
        let wrong = Ground::NotOnEarth { longitude: "148".to_owned(), latitude: "x".to_owned() };
        let found: Vec<_> = read(text).unwrap().into_iter().map(|figure| figure.geometry).collect();
        assert_eq!(found, [Err(wrong), Err(Ground::NoShape)]);
        assert!(read("<kml></kml>").is_err() && read("<gpx><wpt>").is_err());
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_or_refused(
            text in "(<(/|)(gpx|wpt lat=\"1\" lon=\"x\"|trk|trkseg|trkpt lat=\"-1\" lon=\"2\"|name|type)(/|)>|[a-z ]){0,30}",
        ) {
            let _ = read(&text);
            let _ = read(&format!("<gpx>{text}</gpx>"));
        }
    }
}
