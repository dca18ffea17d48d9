//! Areas and perimeters on the ellipsoid against PROJ and GeographicLib.

use geo::{MultiPolygon, Polygon};
use hillfolio_core::geometry;
use serde_json::Value;

/// pyproj 3.7.2 (PROJ 9.5.1) and GeographicLib's Planimeter 2.1.2: see `data/NOTICE.md`. Tolerance: 1e-7 of the value.
#[test]
fn areas_and_perimeters_match_geographiclib() {
    let measures = include_str!("../data/polygon-measures.json");
    let measures: Vec<Value> = serde_json::from_str(measures).unwrap();
    assert_eq!(measures.len(), 21);
    for measure in &measures {
        let name = measure["feature"].as_str().unwrap();
        let shape = shape(measure["file"].as_str().unwrap(), name);
        close(name, geometry::area(&shape).0, measure["area_m2"].as_f64().unwrap());
        close(name, geometry::perimeter(&shape).0, measure["perimeter_all_rings_m"].as_f64().unwrap());
        let holes: usize = shape.iter().map(|polygon| polygon.interiors().len()).sum();
        assert_eq!(holes as u64, measure["holes"].as_u64().unwrap(), "{name}");
    }
}

/// The same shapes with their rings turned the wrong way round: the way a ring runs must not matter.
#[test]
fn the_way_a_ring_runs_does_not_matter() {
    let mut shape = shape("sites_jacksboro.geojson", "knobs_with_holes");
    let area = geometry::area(&shape).0;
    shape.0.iter_mut().for_each(|polygon| {
        polygon.exterior_mut(|ring| ring.0.reverse());
    });
    close("reversed", geometry::area(&shape).0, area);
}

fn close(name: &str, found: f64, expected: f64) {
    assert!((found / expected - 1.0).abs() < 1e-7, "{name}: {found}, expected {expected}");
}

fn shape(file: &str, name: &str) -> MultiPolygon<f64> {
    let text = match file {
        "natural_earth_10m_sample.geojson" => include_str!("../data/natural_earth_10m_sample.geojson"),
        "us_counties_sample.geojson" => include_str!("../data/us_counties_sample.geojson"),
        _ => include_str!("../data/sites_jacksboro.geojson"),
    };
    let collection: geojson::FeatureCollection = text.parse().unwrap();
    let feature = collection
        .features
        .into_iter()
        .find(|feature| feature.property("name").and_then(|value| value.as_str()) == Some(name))
        .unwrap_or_else(|| panic!("{file} has no {name}"));
    let geometry = geo::Geometry::<f64>::try_from(feature.geometry.unwrap()).unwrap();
    match geometry {
        geo::Geometry::Polygon(polygon) => MultiPolygon::from(polygon),
        geo::Geometry::MultiPolygon(shapes) => shapes,
        other => panic!("{name} is {other:?}"),
    }
}

/// An empty shape has no area and no edge.
#[test]
fn nothing_measures_nothing() {
    let nothing = MultiPolygon::<f64>(Vec::<Polygon<f64>>::new());
    assert_eq!(geometry::area(&nothing).0, 0.0);
    assert_eq!(geometry::perimeter(&nothing).0, 0.0);
}
