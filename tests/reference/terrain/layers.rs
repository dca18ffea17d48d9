//! Layers of other people's making, read through the front door; `data/layers/NOTICE.md` says whose.

use std::{fs, path::Path};

use geo::{Area as _, MapCoords as _};
use hillfolio_core::{
    geometry::{self, Grid},
    intake::{self, Folder},
    problem::Problem,
    project::{Area, Feature, Shape},
};

const PROJECT: &str = "[project]\nname = \"A\"\nreference = \"A-1\"\nlandholder = \"B\"\nlocality = \"C\"\ncurrency = \"AUD\"\n\
    [period]\nfrom = 2025-07-01\nto = 2026-06-30\n";

/// Areas, features, and the names of what is doubted.
type Read = (Vec<Area>, Vec<Feature>, Vec<String>);

/// The areas and features of a folder that holds `file` as the layer `layer`, its property `name` mapped.
fn read(layer: &str, file: &str, name: &str) -> Result<Read, Vec<Problem>> {
    let dir = tempfile::tempdir().unwrap();
    let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/reference/data/layers").join(file);
    fs::copy(data, dir.path().join(file)).unwrap();
    let property = if layer == "areas" { "area" } else { "kind" };
    let toml = format!(
        "{PROJECT}[tables.{layer}]\nfile = \"{file}\"\ncolumns = {{ \"{name}\" = \"{property}\" }}\n"
    );
    fs::write(dir.path().join("project.toml"), toml).unwrap();
    let square = r#"{"type":"Feature","properties":{"area":"here"},"geometry":{"type":"Polygon","coordinates":[[[148,-36],[148.001,-36],[148.001,-35.999],[148,-36]]]}}"#;
    if layer != "areas" {
        fs::write(dir.path().join("areas.geojson"), square).unwrap();
    }
    fs::write(dir.path().join("plantings.csv"), planting(layer, file)).unwrap();
    let read = intake::read(&Folder::open(dir.path()).unwrap(), &|_| true)?;
    let codes = read.problems.iter().map(|problem| problem.kind.code().into_owned()).collect();
    Ok((read.project.areas, read.project.features, codes))
}

/// A planting on some area of the layer, so that the folder may be built.
fn planting(layer: &str, file: &str) -> String {
    let area = match file {
        _ if layer != "areas" => "here",
        "shp_counties_polygonz_utf8.zip" => "Dare – Żähl",
        "shp_counties_polygonm_cp1252.zip" | "shp_counties_upper_subfolder.zip" => "Dare Ñandú äöü",
        "shp_latin1_no_shx_no_prj.zip" => "Ñandú",
        "kml_armenia_san_marino.kml" => "Armenia",
        "shp_release_area_austria.zip" => "1",
        _ => "site",
    };
    format!("date,area,species,stems\n2025-08-01,{area},Acacia melanoxylon,10\n")
}

/// The planar area of all shapes on a grid, in square metres.
fn on_grid(areas: &[Area], epsg: u16) -> f64 {
    let grid = Grid::of_epsg(epsg).unwrap();
    let placed = |area: &Area| {
        let there = |at: geo::Coord<f64>| grid.to_grid(at.into()).unwrap();
        area.boundary.map_coords(|at| there(at).into()).unsigned_area()
    };
    areas.iter().map(placed).sum()
}

#[test]
fn shapefiles_with_heights_measures_and_upper_case_names_keep_their_area_and_their_letters() {
    let files = ["polygonz_utf8", "polygonm_cp1252", "upper_subfolder"];
    for file in files {
        let (areas, _, _) = read("areas", &format!("shp_counties_{file}.zip"), "NAME").unwrap();
        assert_eq!(areas.len(), 6, "{file}");
        let square_metres = on_grid(&areas, 32617);
        // By pyshp and GDAL, in the file's own units.
        assert!((square_metres / 8_061_798_761.951_43 - 1.0).abs() < 1e-9, "{file}: {square_metres}");
        assert_eq!(areas.iter().map(|area| area.boundary.0.len()).sum::<usize>(), 10, "{file}");
    }
}

#[test]
fn a_shapefile_without_its_system_is_doubted_and_its_letters_are_guessed() {
    let (areas, _, codes) = read("areas", "shp_latin1_no_shx_no_prj.zip", "Name").unwrap();
    assert_eq!(&*areas[0].id.0, "Ñandú");
    assert!((areas[0].boundary.unsigned_area() - 0.675_102_283_626_121).abs() < 1e-12);
    assert!(
        codes.iter().any(|code| code == "crs-assumed")
            && codes.iter().any(|code| code == "read-as-windows-1252"),
        "{codes:?}"
    );
}

/// EPSG's definition of Austria's Lambert grid shifts its datum by seven parameters: there and back the area is pyshp's.
#[test]
fn a_grid_on_an_older_datum_is_known_by_its_name() {
    let (areas, _, _) = read("areas", "shp_release_area_austria.zip", "Id").unwrap();
    let square_metres = on_grid(&areas, 31287);
    assert!((square_metres / 11_772.856_477_564_4 - 1.0).abs() < 1e-6, "{square_metres}");
}

#[test]
fn a_kml_with_parts_and_enclaves_has_its_geodesic_area() {
    let (areas, _, _) = read("areas", "kml_armenia_san_marino.kml", "none").unwrap();
    let named = |name: &str| areas.iter().find(|area| &*area.id.0 == name).unwrap();
    let holes = |area: &Area| area.boundary.iter().map(|part| part.interiors().len()).sum::<usize>();
    for (name, square_metres, parts, inner) in
        [("Armenia", 29_591_923_976.867_7, 2, 2), ("San Marino", 60_929_376.238_581_9, 1, 0)]
    {
        let area = named(name);
        assert!((geometry::area(&area.boundary).0 / square_metres - 1.0).abs() < 1e-7, "{name}");
        assert_eq!((area.boundary.0.len(), holes(area)), (parts, inner), "{name}");
    }
}

#[test]
fn a_gpx_track_has_its_points_and_its_length() {
    let (_, features, _) = read("features", "gpx_track-with-empty-segment.gpx", "name").unwrap();
    let Shape::Lines(lines) = &features[0].shape else { panic!("a line") };
    assert_eq!(lines.0.iter().map(|line| line.0.len()).collect::<Vec<_>>(), [9]);
    assert!((geometry::length(lines).0 - 85.987_415_121).abs() < 0.01);
}

#[test]
fn a_geojson_of_2008_in_metres_is_not_read_as_degrees() {
    let (areas, _, _) = read("areas", "gj_crs_member_utm60s.geojson", "name").unwrap();
    assert!((geometry::area(&areas[0].boundary).0 / 88_971.541_962_660_8 - 1.0).abs() < 1e-6);
}
