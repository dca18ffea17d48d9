//! The reference terrains, their sites and what other programs make of them: see `data/terrain/NOTICE.md`.

use std::{fs::File, io::BufReader, path::PathBuf};

use geo::{Coord, LineString, MultiPolygon, Polygon};
use hillfolio_core::{
    intake::terrain::{GeoTiff, Reference, read_ascii, read_prj},
    terrain::{Coordinates, Grid, Lattice, Raster},
};
use serde_json::Value;

pub(crate) fn path(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/reference/data/terrain").join(name)
}

pub(crate) fn text(name: &str) -> String {
    std::fs::read_to_string(path(name)).unwrap()
}

/// Every case of `kind`, with its id.
pub(crate) fn cases(kind: &str) -> Vec<(String, Value)> {
    let all: Value = serde_json::from_str(&text("expected.json")).unwrap();
    let all = all.as_object().unwrap().iter().filter(|(_, case)| case["kind"] == kind);
    let cases: Vec<_> = all.map(|(id, case)| (id.clone(), case.clone())).collect();
    assert!(!cases.is_empty(), "no case is of kind {kind}");
    cases
}

pub(crate) fn case(id: &str) -> Value {
    serde_json::from_str::<Value>(&text("expected.json")).unwrap()[id].clone()
}

/// A grid by its file's name.
pub(crate) fn grid(name: &str) -> Grid {
    if name.ends_with(".tif") {
        let mut file = GeoTiff::open(BufReader::new(File::open(path(name)).unwrap()), None).unwrap();
        let whole = file.lattice().whole();
        return file.read(&whole).unwrap();
    }
    let prj = path(&name.replace(".asc", ".prj"));
    let reference = std::fs::read_to_string(prj).ok().map(|text| read_prj(&text).unwrap());
    read_ascii(&std::fs::read(path(name)).unwrap(), &reference.unwrap_or_else(metres)).unwrap()
}

fn metres() -> Reference {
    let coordinates = Coordinates::Projected { metres_per_unit: 1.0 };
    Reference { coordinates, ..Reference::unnamed() }
}

/// The site of a case on its grid: a named shape, or `bounds [west, south, east, north]`.
pub(crate) fn site(case: &Value, grid: &Grid) -> MultiPolygon<f64> {
    let feature = case["params"]["feature"].as_str().unwrap();
    if let Some(bounds) = feature.strip_prefix("bounds ") {
        let bounds: Vec<f64> = serde_json::from_str(bounds).unwrap();
        return bounds_of(&bounds);
    }
    let file = case["input"][1].as_str().unwrap();
    let file = if file == "sites_volcano.geojson" { path(file) } else { path("..").join(file) };
    let geojson: geojson::GeoJson = std::fs::read_to_string(file).unwrap().parse().unwrap();
    let features = geojson::FeatureCollection::try_from(geojson).unwrap().features;
    let named = |one: &&geojson::Feature| one.property("name").and_then(Value::as_str) == Some(feature);
    let shape = features.iter().find(named).unwrap().geometry.clone().unwrap();
    let shape = match geo::Geometry::try_from(shape).unwrap() {
        geo::Geometry::Polygon(polygon) => MultiPolygon(vec![polygon]),
        geo::Geometry::MultiPolygon(polygons) => polygons,
        other => panic!("{other:?}"),
    };
    assert_eq!(grid.lattice.epsg().map(u64::from), case["params"]["epsg"].as_u64());
    grid.lattice.placing().unwrap().area(&shape).unwrap()
}

pub(crate) fn bounds_of(bounds: &[f64]) -> MultiPolygon<f64> {
    let &[west, south, east, north] = bounds else { panic!("{bounds:?}") };
    let ring = vec![(west, south), (east, south), (east, north), (west, north), (west, south)];
    MultiPolygon(vec![Polygon::new(LineString::from(ring), vec![])])
}

/// A surface given by its equation, in cells of `cell` metres about `centre`.
pub(crate) fn surface(centre: (f64, f64), cell: f64, cells: usize, height: impl Fn(f64, f64) -> f64) -> Grid {
    let half = cells as f64 * cell / 2.0;
    let lattice = Lattice {
        west: centre.0 - half,
        north: centre.1 + half,
        cell_x: cell,
        cell_y: cell,
        rows: cells,
        columns: cells,
        coordinates: Coordinates::Projected { metres_per_unit: 1.0 },
        crs: None,
    };
    let places = (0..cells).flat_map(|row| (0..cells).map(move |column| (row, column)));
    let values = places
        .map(|(row, column)| {
            let Coord { x, y } = lattice.centre(row, column);
            height(x - centre.0, y - centre.1) as f32
        })
        .collect();
    Raster { lattice, values }
}

pub(crate) fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|number| number.as_f64().unwrap()).collect()
}
