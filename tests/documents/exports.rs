//! Layers and tables say what the project says, and text stays text.

use std::io::{Cursor, Read as _};

use hillfolio_core::ledger::Ledger;
use hillfolio_documents::exports;

use crate::support::small_project;

fn exported(path: &str) -> Vec<u8> {
    let mut project = small_project();
    project.plantings[0].note = Some("=HYPERLINK(\"http://x\")".to_owned());
    let files = exports::files(&project, None, &Ledger::default(), &[], None).unwrap();
    files.into_iter().find(|(name, _)| name == path).unwrap_or_else(|| panic!("no {path}")).1
}

fn entry(zip: Vec<u8>, name: &str) -> Vec<u8> {
    let mut bytes = vec![];
    zip::ZipArchive::new(Cursor::new(zip)).unwrap().by_name(name).unwrap().read_to_end(&mut bytes).unwrap();
    bytes
}

#[test]
fn areas_go_out_as_geojson_with_longitude_first() {
    let layer: geojson::FeatureCollection =
        String::from_utf8(exported("layers/areas.geojson")).unwrap().parse().unwrap();
    assert_eq!(layer.features.len(), 2);
    let north = &layer.features[0];
    assert_eq!(north.property("area").unwrap(), "North face");
    let shape: geo::MultiPolygon<f64> = north.geometry.clone().unwrap().try_into().unwrap();
    assert_eq!(shape, small_project().areas[0].boundary);
}

#[test]
fn areas_go_out_as_a_shapefile_that_reads_back() {
    let zip = exported("layers/areas.zip");
    let (shp, dbf) =
        (Cursor::new(entry(zip.clone(), "areas.shp")), Cursor::new(entry(zip.clone(), "areas.dbf")));
    let table = shapefile::dbase::Reader::new(dbf).unwrap();
    let mut reader = shapefile::Reader::new(shapefile::ShapeReader::new(shp).unwrap(), table);
    let read = reader.read_as::<shapefile::Polygon, shapefile::dbase::Record>().unwrap();
    assert_eq!(read.len(), 2);
    for ((shape, record), area) in read.into_iter().zip(small_project().areas) {
        let shape: geo::MultiPolygon<f64> = shape.try_into().unwrap();
        assert!(
            (hillfolio_core::geometry::area(&shape).0 - hillfolio_core::geometry::area(&area.boundary).0)
                .abs()
                < 1e-6
        );
        let name = record.get("area").unwrap().to_string();
        assert!(name.contains(&*area.id.0), "{name}");
    }
    assert!(entry(zip, "areas.prj").starts_with(b"GEOGCS"));
}

/// Names and the number of corners of every element called `element`.
fn elements(
    text: &str,
    element: &str,
    corners: impl Fn(roxmltree::Node<'_, '_>) -> usize,
) -> Vec<(String, usize)> {
    let document = roxmltree::Document::parse(text).unwrap();
    let all = document.descendants().filter(|node| node.tag_name().name() == element);
    all.map(|node| {
        let name = node.children().find(|child| child.tag_name().name() == "name");
        (name.and_then(|name| name.text()).unwrap_or_default().to_owned(), corners(node))
    })
    .collect()
}

#[test]
fn every_layer_goes_out_as_kml_and_gpx_with_the_same_shapes() {
    let project = small_project();
    let corners = |area: &hillfolio_core::project::Area| {
        area.boundary.iter().map(|part| part.exterior().0.len()).sum::<usize>()
    };
    let expected: Vec<_> = project.areas.iter().map(|area| (area.id.to_string(), corners(area))).collect();
    let kml = String::from_utf8(exported("layers/areas.kml")).unwrap();
    let in_kml = |node: roxmltree::Node<'_, '_>| {
        let coordinates = node.descendants().filter(|child| child.tag_name().name() == "coordinates");
        coordinates.map(|child| child.text().unwrap().split_whitespace().count()).sum()
    };
    assert_eq!(elements(&kml, "Placemark", in_kml), expected);
    let gpx = String::from_utf8(exported("layers/areas.gpx")).unwrap();
    let in_gpx = |node: roxmltree::Node<'_, '_>| {
        node.descendants().filter(|child| child.tag_name().name() == "trkpt").count()
    };
    assert_eq!(elements(&gpx, "trk", in_gpx), expected);
    let plots = String::from_utf8(exported("layers/plots.gpx")).unwrap();
    let names: Vec<String> = elements(&plots, "wpt", |_| 0).into_iter().map(|(name, _)| name).collect();
    let placed = project.plots.iter().filter(|plot| plot.position.is_some());
    assert_eq!(names, placed.map(|plot| plot.id.0.to_string()).collect::<Vec<_>>());
}

#[test]
fn a_formula_in_a_cell_stays_text() {
    let workbook = exported("data/tables.xlsx");
    let strings = String::from_utf8(entry(workbook.clone(), "xl/sharedStrings.xml")).unwrap();
    assert!(strings.contains("=HYPERLINK("), "the note is kept as typed");
    for sheet in 1.. {
        let name = format!("xl/worksheets/sheet{sheet}.xml");
        let mut zip = zip::ZipArchive::new(Cursor::new(workbook.clone())).unwrap();
        let Ok(mut part) = zip.by_name(&name) else { break };
        let mut text = String::new();
        part.read_to_string(&mut text).unwrap();
        assert!(!text.contains("<f>"), "{name} holds a formula");
    }
}

#[test]
fn the_same_project_gives_the_same_bytes() {
    let layers = [
        "layers/areas.geojson",
        "layers/areas.zip",
        "layers/areas.kml",
        "layers/plots.gpx",
        "layers/plots.geojson",
    ];
    for path in layers.into_iter().chain(["data/tables.xlsx"]) {
        assert_eq!(exported(path), exported(path), "{path}");
    }
}

#[test]
fn the_site_map_is_laid_over_the_ground() {
    let overlay = exports::GroundOverlay {
        png: b"picture".to_vec(),
        middle: geo::Point::new(148.0, -36.0),
        half: (0.004, 0.003),
        azimuth: 1.25,
    };
    let files = exports::files(&small_project(), None, &Ledger::default(), &[], Some(&overlay)).unwrap();
    let (_, bytes) = files.iter().find(|(path, _)| path == "layers/site-map.kmz").unwrap();
    let mut zip = zip::ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
    let mut text = String::new();
    std::io::Read::read_to_string(&mut zip.by_name("doc.kml").unwrap(), &mut text).unwrap();
    let document = roxmltree::Document::parse(&text).unwrap();
    let says = |name: &str| {
        document.descendants().find(|node| node.has_tag_name(("http://www.opengis.net/kml/2.2", name)))
    };
    let says = |name: &str| says(name).and_then(|node| node.text()).unwrap().to_owned();
    assert_eq!(
        ["north", "south", "east", "west", "rotation"].map(says),
        ["-35.9970000", "-36.0030000", "148.0040000", "147.9960000", "-1.2500"]
    );
    let mut picture = Vec::new();
    std::io::Read::read_to_end(&mut zip.by_name("files/site-map.png").unwrap(), &mut picture).unwrap();
    assert_eq!(picture, b"picture");
}
