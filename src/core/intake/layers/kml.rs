//! KML placemarks: names, data, points, lines and polygons. Altitudes and styles are passed over.
//!
//! # Reference
//! OGC 12-007r2, *KML 2.3*. Positions are longitude, latitude, altitude on WGS 84.

use geojson::{Geometry, GeometryValue, Position};

use crate::{
    intake::{
        layers::{
            drawn::{Figure, number},
            word_list::no_name,
        },
        xml::{Node, Tag, Xml},
    },
    problem::{Ground, Kind, Reading},
};

/// The placemarks of the document `text`.
pub(super) fn figures(text: &str, say: &mut dyn FnMut(Kind)) -> Result<Vec<Figure>, Kind> {
    let malformed = |why| Kind::from(Reading::Malformed { format: "KML", why });
    let mut xml = Xml::new(text);
    let (mut figures, mut links, mut folders) = (Vec::new(), 0, Vec::new());
    let mut document = String::new();
    let mut root = false;
    while let Some(node) = xml.next().map_err(malformed)? {
        let Node::Open(tag) = node else {
            folders.retain(|(depth, _)| *depth <= xml.depth());
            continue;
        };
        root |= xml.depth() == 1 && tag.name() == "kml";
        match tag.name() {
            "Placemark" => {
                let mut figure = placemark(&mut xml, number(figures.len())).map_err(malformed)?;
                // People sort placemarks into folders: the innermost folder that they named says what is in it.
                let named = |folder: &&String| !folder.is_empty() && !no_name(folder);
                let innermost = folders.iter().rev().map(|(_, folder)| folder).find(named);
                if let Some(folder) = innermost.or(folders.last().map(|(_, folder)| folder)) {
                    figure.properties.push(("folder".to_owned(), String::clone(folder)));
                }
                figure.properties.push(("document".to_owned(), document.clone()));
                figures.push(figure);
            }
            "Folder" => folders.push((xml.depth(), String::new())),
            "name" => {
                let (depth, name) = (xml.depth(), xml.rest().map_err(malformed)?);
                match folders.last_mut() {
                    Some((at, folder)) if *at + 1 == depth => *folder = name.trim().to_owned(),
                    None if depth <= 3 => document = name.trim().to_owned(),
                    _ => {}
                }
            }
            "NetworkLink" => links += 1,
            _ => {}
        }
    }
    if !root {
        return Err(malformed("its first element is not called kml".to_owned()));
    }
    if links > 0 {
        say(Reading::LinkNotFollowed { links }.into());
    }
    Ok(figures)
}

/// The placemark that has just begun.
fn placemark(xml: &mut Xml<'_>, number: u32) -> Result<Figure, String> {
    let (mut properties, mut parts, within) = (Vec::new(), Parts::default(), xml.depth());
    let mut datum = String::new();
    while xml.depth() >= within {
        let Some(node) = xml.next()? else { break };
        let Node::Open(tag) = node else { continue };
        let direct = xml.depth() == within + 1;
        let attribute = |tag: &Tag<'_>| tag.attribute("name").unwrap_or_default();
        match tag.name() {
            "name" if direct => properties.push(("name".to_owned(), xml.rest()?)),
            "description" if direct => {
                // Mapping programs put tables of markup here; only words are a note.
                let text = xml.rest()?;
                if !text.contains('<') {
                    properties.push(("note".to_owned(), text));
                }
            }
            "Data" => datum = attribute(&tag),
            "value" if !datum.is_empty() => properties.push((std::mem::take(&mut datum), xml.rest()?)),
            "SimpleData" => {
                let name = attribute(&tag);
                properties.push((name, xml.rest()?));
            }
            "Point" | "LineString" | "LinearRing" | "Polygon" | "Track" => {
                let name = tag.name().to_owned();
                parts.take(&name, xml)?;
            }
            _ => {}
        }
    }
    Ok(Figure { number, geometry: parts.geometry(), properties })
}

/// The geometries of one placemark.
#[derive(Default)]
struct Parts {
    found: Vec<GeometryValue>,
    wrong: Option<Ground>,
}

impl Parts {
    /// Reads the geometry called `name` that has just begun.
    fn take(&mut self, name: &str, xml: &mut Xml<'_>) -> Result<(), String> {
        let (mut outer, mut holes, mut hole, within) = (Vec::new(), Vec::new(), false, xml.depth());
        while xml.depth() >= within {
            let Some(node) = xml.next()? else { break };
            let Node::Open(tag) = node else { continue };
            match tag.name() {
                "outerBoundaryIs" => hole = false,
                "innerBoundaryIs" => hole = true,
                "coordinates" => {
                    let line = self.positions(&xml.rest()?, ',');
                    if hole { holes.push(line) } else { outer.extend(line) }
                }
                // The positions of a track stand one by one, with spaces within.
                "coord" => {
                    let one = xml.rest()?.split_whitespace().collect::<Vec<_>>().join(",");
                    outer.extend(self.positions(&one, ','));
                }
                _ => {}
            }
        }
        self.found.push(match name {
            "Point" if outer.is_empty() => return Ok(()),
            "Point" => GeometryValue::Point { coordinates: outer.swap_remove(0) },
            "Polygon" => {
                holes.insert(0, outer);
                GeometryValue::Polygon { coordinates: holes }
            }
            _ => GeometryValue::LineString { coordinates: outer },
        });
        Ok(())
    }

    /// Positions in `text`: longitude, latitude and perhaps altitude, one from the next by space.
    fn positions(&mut self, text: &str, comma: char) -> Vec<Position> {
        let mut found = Vec::new();
        for word in text.split_whitespace() {
            let mut numbers = word.split(comma);
            let (x, y) = (numbers.next().unwrap_or_default(), numbers.next().unwrap_or_default());
            match (x.parse::<f64>(), y.parse::<f64>()) {
                (Ok(longitude), Ok(latitude)) => found.push(Position::from([longitude, latitude])),
                _ => {
                    let typed = |text: &str| match text {
                        "" => "(nothing)".to_owned(),
                        text => text.chars().take(30).collect::<String>(),
                    };
                    self.wrong.get_or_insert(Ground::NotOnEarth { longitude: typed(x), latitude: typed(y) });
                }
            }
        }
        found
    }

    fn geometry(mut self) -> Result<GeometryValue, Ground> {
        match (self.wrong, self.found.len()) {
            (Some(wrong), _) => Err(wrong),
            (None, 0) => Err(Ground::NoShape),
            (None, 1) => Ok(self.found.swap_remove(0)),
            (None, _) => Ok(GeometryValue::GeometryCollection {
                geometries: self.found.into_iter().map(Geometry::new).collect(),
            }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Vec<Figure>, Kind> {
        figures(text, &mut |_| {})
    }

    #[test]
    fn placemarks_are_read_with_their_data_and_their_folder() {
        let text = r#"<kml xmlns="http://www.opengis.net/kml/2.2"><Document><name>Site</name><Folder><name>Fences</name>
            <Placemark><name>North fence</name><description>barbed</description>
              <ExtendedData><Data name="status"><value>new</value></Data>
              <SchemaData><SimpleData name="kind">fence</SimpleData></SchemaData></ExtendedData>
              <LineString><coordinates>148,-36,800 148.1,-36,810</coordinates></LineString></Placemark></Folder>
            <Placemark><MultiGeometry><Polygon><outerBoundaryIs><LinearRing><coordinates>148,-36 148.1,-36 148.1,-35.9 148,-36
              </coordinates></LinearRing></outerBoundaryIs><innerBoundaryIs><LinearRing><coordinates>148.05,-35.98 148.06,-35.98
              148.06,-35.97 148.05,-35.98</coordinates></LinearRing></innerBoundaryIs></Polygon>
              <Point><coordinates>148,-36</coordinates></Point></MultiGeometry></Placemark></Document></kml>"#;
        let figures = read(text).unwrap();
        assert_eq!(figures.len(), 2);
        let property = |name: &str| {
            let mut all = figures[0].properties.iter();
            all.find(|(found, _)| found == name).map(|(_, text)| text.as_str())
        };
        let asked = ["name", "note", "status", "kind", "folder"].map(property);
        assert_eq!(asked, ["North fence", "barbed", "new", "fence", "Fences"].map(Some));
        assert_eq!(
            figures[1].properties,
            [("document".to_owned(), "Site".to_owned())],
            "the folder is closed"
        );
        let Ok(GeometryValue::GeometryCollection { geometries }) = &figures[1].geometry else { panic!() };
        let GeometryValue::Polygon { coordinates } = &geometries[0].value else { panic!() };
        assert_eq!(coordinates.iter().map(Vec::len).collect::<Vec<_>>(), [4, 4]);
    }

    #[test]
    fn what_is_no_position_is_said() {
        let place = |coordinates: &str| {
            let text = format!(
                "<kml><Placemark><Point><coordinates>{coordinates}</coordinates></Point></Placemark></kml>"
            );
            read(&text).unwrap().remove(0).geometry
        };
        let wrong =
            |x: &str, y: &str| Err(Ground::NotOnEarth { longitude: x.to_owned(), latitude: y.to_owned() });
        assert_eq!(place("148"), wrong("148", "(nothing)"));
        assert_eq!(place("148; -36"), wrong("148;", "(nothing)"));
        assert_eq!(place(""), Err(Ground::NoShape));
        assert!(read("<gpx></gpx>").is_err() && read("").is_err());
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_or_refused(
            text in "(<(/|)(kml|Placemark|Folder|name|Polygon|outerBoundaryIs|coordinates|Data name=\"a\"|value|coord)>|[0-9 ,.e-]){0,30}",
        ) {
            let _ = read(&text);
            let _ = read(&format!("<kml>{text}</kml>"));
        }
    }
}
