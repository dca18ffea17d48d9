//! The same ground through every door: boundaries and features in each format that is read.

use std::{
    fs,
    io::{Cursor, Write as _},
    path::Path,
};

use geo::{Coord, LineString, MapCoords as _, MultiPolygon, Point, Polygon};
use hillfolio_core::{
    geometry::{self, Datum, Grid, shifted},
    intake::Intake,
    problem::Problem,
    project::{FeatureKind, Shape, Standing},
};
use shapefile::dbase::{FieldName, FieldValue, Record, TableWriterBuilder};

use crate::commands::copy;

/// A folder like the base of the broken ones, with other files for its areas.
pub(crate) fn folder(files: &[(&str, &[u8])]) -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program/broken/base"), dir.path());
    for (path, bytes) in files {
        if path.starts_with("areas.") {
            drop(fs::remove_file(dir.path().join("areas.geojson")));
        }
        if path.starts_with("features.") {
            drop(fs::remove_file(dir.path().join("features.geojson")));
        }
        fs::write(dir.path().join(path), bytes).unwrap();
    }
    dir
}

/// What is read of a folder, which may have doubts.
pub(crate) fn read(dir: &Path) -> Intake {
    hillfolio::check(dir).unwrap_or_else(|problems| panic!("{:#?}", codes(&problems)))
}

pub(crate) fn codes(problems: &[Problem]) -> Vec<String> {
    problems.iter().map(|problem| format!("{} {}", problem.place, problem.kind.code())).collect()
}

/// The two areas of the base, the first with a corner more; no hole, so that every format can hold them.
fn plain() -> Vec<(&'static str, MultiPolygon<f64>)> {
    let ring = |corners: &[(f64, f64)]| MultiPolygon(vec![Polygon::new(corners.to_vec().into(), vec![])]);
    let (west, east) = (148.0, 148.002);
    let north = ring(&[
        (west, -36.0),
        (east, -36.0),
        (148.002_345_6, -35.999_5),
        (east, -35.999),
        (west, -35.999),
        (west, -36.0),
    ]);
    let south = ring(&[(west, -36.003), (east, -36.003), (east, -36.002), (west, -36.002), (west, -36.003)]);
    vec![("North", north), ("South", south)]
}

/// The same with a hole in the first and a second part to the other.
fn pierced() -> Vec<(&'static str, MultiPolygon<f64>)> {
    let mut areas = plain();
    let square = |x: f64, y: f64| -> LineString<f64> {
        vec![(x, y), (x + 0.000_4, y), (x + 0.000_4, y + 0.000_3), (x, y + 0.000_3), (x, y)].into()
    };
    areas[0].1.0[0].interiors_push(square(148.000_9, -35.999_7));
    areas[1].1.0.push(Polygon::new(square(148.003, -36.003), vec![]));
    areas
}

type Areas = [(&'static str, MultiPolygon<f64>)];

fn geo_json(areas: &Areas) -> String {
    let one = |(name, shape): &(&str, MultiPolygon<f64>)| {
        let geometry = geojson::Geometry::new(shape.into());
        format!(r#"{{"type":"Feature","properties":{{"area":"{name}"}},"geometry":{geometry}}}"#)
    };
    let features: Vec<String> = areas.iter().map(one).collect();
    format!(r#"{{"type":"FeatureCollection","features":[{}]}}"#, features.join(","))
}

fn kml(areas: &Areas) -> String {
    let ring = |ring: &LineString<f64>| {
        let corners: Vec<String> = ring.0.iter().map(|at| format!("{},{},812.5", at.x, at.y)).collect();
        format!("<LinearRing><coordinates>\n{}\n</coordinates></LinearRing>", corners.join("\n"))
    };
    let polygon = |polygon: &Polygon<f64>| {
        let holes = polygon
            .interiors()
            .iter()
            .map(|hole| format!("<innerBoundaryIs>{}</innerBoundaryIs>", ring(hole)));
        let outer = ring(polygon.exterior());
        format!("<Polygon><outerBoundaryIs>{outer}</outerBoundaryIs>{}</Polygon>", holes.collect::<String>())
    };
    let placemark = |(name, shape): &(&str, MultiPolygon<f64>)| {
        let polygons: String = shape.iter().map(polygon).collect();
        format!("<Placemark><name>{name}</name><MultiGeometry>{polygons}</MultiGeometry></Placemark>")
    };
    let placemarks: String = areas.iter().map(placemark).collect();
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<kml xmlns=\"http://www.opengis.net/kml/2.2\"><Document>{placemarks}</Document></kml>\n"
    )
}

/// Tracks with the six decimals that telephones write, and a waypoint beside them.
fn gpx(areas: &Areas) -> String {
    let track = |(name, shape): &(&str, MultiPolygon<f64>)| {
        let points = shape.0[0].exterior().0.iter();
        let points: String = points
            .map(|at| format!("<trkpt lat=\"{:.6}\" lon=\"{:.6}\"><ele>812</ele></trkpt>", at.y, at.x))
            .collect();
        format!("<trk><name>{name}</name><trkseg>{points}</trkseg></trk>")
    };
    let tracks: String = areas.iter().map(track).collect();
    format!(
        "<gpx version=\"1.1\" xmlns=\"http://www.topografix.com/GPX/1/1\"><wpt lat=\"-36\" lon=\"148\"><name>Gate</name></wpt>{tracks}</gpx>"
    )
}

pub(crate) fn zipped(parts: &[(&str, &[u8])]) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        zip.start_file(*name, zip::write::SimpleFileOptions::default()).unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

/// Shapes and table of a shapefile.
fn shapefile(areas: &Areas) -> (Vec<u8>, Vec<u8>) {
    let (mut shp, mut dbf) = (Cursor::new(Vec::new()), Cursor::new(Vec::new()));
    {
        let table = TableWriterBuilder::new()
            .add_character_field(FieldName::try_from("AREA").unwrap(), 40)
            .build_with_dest(&mut dbf);
        let mut writer = shapefile::Writer::new(shapefile::ShapeWriter::new(&mut shp), table);
        for (name, shape) in areas {
            let mut record = Record::default();
            record.insert("AREA".to_owned(), FieldValue::Character(Some((*name).to_owned())));
            writer.write_shape_and_record(&shapefile::Polygon::from(shape.clone()), &record).unwrap();
        }
    }
    (shp.into_inner(), dbf.into_inner())
}

/// The areas with every corner moved.
fn moved(areas: &Areas, to: impl Fn(Point<f64>) -> (f64, f64)) -> Vec<(&'static str, MultiPolygon<f64>)> {
    let place = |at: Coord<f64>| Coord::from(to(Point(at)));
    areas.iter().map(|(name, shape)| (*name, shape.map_coords(place))).collect()
}

const WGS84: &str = r#"GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]"#;

fn named(name: &str) -> String {
    WGS84.replace("GEOGCS", &format!("PROJCS[\"{name}\",GEOGCS"))
        + ",PROJECTION[\"Transverse_Mercator\"],UNIT[\"Meter\",1.0]]"
}

/// That the folder's areas are `areas`, each square metre of them.
fn agree(what: &str, files: &[(&str, &[u8])], areas: &Areas, within: f64) -> Vec<String> {
    let dir = folder(files);
    let Intake { project, problems, .. } = read(dir.path());
    assert_eq!(project.areas.len(), areas.len(), "{what}");
    for (area, (name, shape)) in project.areas.iter().zip(areas) {
        let (found, expected) = (geometry::area(&area.boundary).0, geometry::area(shape).0);
        assert_eq!(&*area.id.0, *name, "{what}");
        assert!((found / expected - 1.0).abs() < within, "{what}: {name} has {found} m² for {expected} m²");
    }
    codes(&problems)
}

#[test]
fn the_same_areas_have_the_same_hectares_in_all_six_formats() {
    for areas in [plain(), pierced()] {
        let text = kml(&areas);
        let (shp, dbf) = shapefile(&areas);
        let json = geo_json(&areas);
        assert_eq!(agree("GeoJSON", &[("areas.geojson", json.as_bytes())], &areas, 1e-6), [""; 0]);
        assert_eq!(agree("KML", &[("areas.kml", text.as_bytes())], &areas, 1e-6), [""; 0]);
        let kmz = zipped(&[("doc.kml", text.as_bytes()), ("files/icon.png", b"")]);
        assert_eq!(agree("KMZ", &[("areas.kmz", &kmz)], &areas, 1e-6), [""; 0]);
        let loose = [
            ("areas.shp", &shp[..]),
            ("areas.dbf", &dbf),
            ("areas.prj", WGS84.as_bytes()),
            ("areas.shx", b""),
        ];
        assert_eq!(agree("shapefile", &loose, &areas, 1e-6), [""; 0]);
        let packed = zipped(&[
            ("Site/AREAS.SHP", &shp),
            ("Site/areas.dbf", &dbf),
            ("Site/areas.prj", WGS84.as_bytes()),
        ]);
        assert_eq!(agree("zipped shapefile", &[("areas.zip", &packed)], &areas, 1e-6), [""; 0]);
    }
    let walked = gpx(&plain());
    let said = agree("GPX", &[("areas.gpx", walked.as_bytes())], &plain(), 1e-3);
    assert_eq!(said, ["areas.gpx features-by-name"], "the waypoint is a gate");
}

#[test]
fn a_shapefile_in_metres_of_any_known_grid_is_the_same_ground() {
    for (code, name, datum) in [
        (7855, "GDA2020_MGA_Zone_55", Datum::Gda2020),
        (28355, "GDA_1994_MGA_Zone_55", Datum::Gda94),
        (32755, "WGS_1984_UTM_Zone_55S", Datum::Wgs84),
    ] {
        let grid = Grid::of_epsg(code).unwrap();
        // The base's positions are on GDA2020: its grid is MGA2020.
        let metres =
            moved(&pierced(), |at| grid.to_grid(shifted(at, Datum::Gda2020, datum).unwrap()).unwrap());
        let ((shp, dbf), prj) = (shapefile(&metres), named(name));
        let files = [("areas.shp", &shp[..]), ("areas.dbf", &dbf), ("areas.prj", prj.as_bytes())];
        assert_eq!(agree(name, &files, &pierced(), 1e-6), [""; 0]);
        let dir = folder(&files);
        let corner = read(dir.path()).project.areas[0].boundary.0[0].exterior().0[0];
        assert!(geometry::distance(corner.into(), Point::new(148.0, -36.0)).0 < 0.01, "{name}: {corner:?}");
    }
    let mercator = moved(&pierced(), |at| {
        let metres = |degrees: f64| degrees.to_radians() * 6_378_137.0;
        (metres(at.x()), 6_378_137.0 * at.y().to_radians().tan().asinh())
    });
    let ((shp, dbf), prj) = (shapefile(&mercator), named("WGS_1984_Web_Mercator_Auxiliary_Sphere"));
    let files = [("areas.shp", &shp[..]), ("areas.dbf", &dbf), ("areas.prj", prj.as_bytes())];
    assert_eq!(agree("Web Mercator", &files, &pierced(), 1e-6), [""; 0]);
}

#[test]
fn a_shapefile_without_prj_is_taken_in_degrees_or_in_the_projects_grid() {
    let (shp, dbf) = shapefile(&plain());
    let said = agree("degrees", &[("areas.shp", &shp), ("areas.dbf", &dbf)], &plain(), 1e-6);
    assert_eq!(said, ["areas.shp crs-assumed"]);
    let grid = Grid::of_epsg(7855).unwrap();
    let (shp, dbf) = shapefile(&moved(&plain(), |at| grid.to_grid(at).unwrap()));
    let said = agree("metres", &[("areas.shp", &shp), ("areas.dbf", &dbf)], &plain(), 1e-6);
    assert_eq!(said, ["areas.shp crs-assumed"]);
}

/// The codes that a folder with other areas is refused with.
fn refused(files: &[(&str, &[u8])]) -> Vec<String> {
    codes(&hillfolio::check(folder(files).path()).unwrap_err())
        .into_iter()
        // What refers to areas that could not be read.
        .filter(|said| said.starts_with("areas."))
        .collect()
}

#[test]
fn every_part_of_a_shapefile_is_an_input() {
    let (shp, dbf) = shapefile(&plain());
    let files =
        [("areas.shp", &shp[..]), ("areas.dbf", &dbf), ("areas.prj", WGS84.as_bytes()), ("areas.SHX", b"i")];
    let inputs = read(folder(&files).path()).project.inputs;
    let mut parts: Vec<_> = inputs.iter().filter(|input| input.path.starts_with("areas.")).collect();
    parts.sort_by_key(|input| input.path.to_lowercase());
    let parts: Vec<_> = parts.iter().map(|input| (&*input.path, input.rows)).collect();
    assert_eq!(
        parts,
        [("areas.dbf", None), ("areas.prj", None), ("areas.shp", Some(2)), ("areas.SHX", None)]
    );
}

#[test]
fn wrong_systems_are_found_out() {
    let grid = Grid::of_epsg(7855).unwrap();
    let metres = moved(&plain(), |at| grid.to_grid(at).unwrap());
    let turned = moved(&metres, |at| (at.y(), at.x()));
    let with = |areas: &Areas, prj: &str| {
        let (shp, dbf) = shapefile(areas);
        refused(&[("areas.shp", &shp), ("areas.dbf", &dbf), ("areas.prj", prj.as_bytes())])
    };
    assert_eq!(with(&metres, WGS84), ["areas.shp not-degrees"]);
    assert_eq!(with(&metres, "PROJCS[\"Uncle's own grid\"]"), ["areas.shp crs-not-read"]);
    assert_eq!(with(&metres, "GEOGCS[\"NAD27\"]"), ["areas.shp not-degrees"]);
    let unknown = "GEOGCS[\"Uncle 1911\",DATUM[\"Uncle 1911\",SPHEROID[\"Bessel\",6377397.155,299.1528]]]";
    assert_eq!(with(&plain(), unknown), ["areas.shp crs-not-read"]);
    assert_eq!(with(&turned, &named("GDA2020_MGA_Zone_55")), ["areas.shp grid-unfit"]);
    // Metres of the next zone: the areas come out six degrees away from the plots.
    let (shp, dbf) = shapefile(&metres);
    let prj = named("GDA2020_MGA_Zone_56");
    let dir = folder(&[("areas.shp", &shp), ("areas.dbf", &dbf), ("areas.prj", prj.as_bytes())]);
    let said = codes(&read(dir.path()).problems);
    assert!(said.iter().any(|said| said.ends_with("far-away")), "{said:?}");
    assert!(said.iter().any(|said| said.ends_with("plot-outside-area")), "{said:?}");
    let swapped = kml(&moved(&plain(), |at| (at.y(), at.x())));
    assert_eq!(
        refused(&[("areas.kml", swapped.as_bytes())]),
        ["areas.kml:1 (geometry) axes-swapped", "areas.kml:2 (geometry) axes-swapped"]
    );
}

#[test]
fn features_are_known_by_folder_type_and_name() {
    let kml = "<kml><Document><Folder><name>Power lines</name><Placemark><name>11 kV</name><LineString><coordinates>148,-36 148.001,-36
        </coordinates></LineString></Placemark></Folder><Placemark><name>Gate by the road</name><ExtendedData><Data name=\"Status\"><value>new</value></Data></ExtendedData>
        <Point><coordinates>148,-36</coordinates></Point></Placemark></Document></kml>";
    let features = read(folder(&[("features.kml", kml.as_bytes())]).path()).project.features;
    let kinds: Vec<_> = features.iter().map(|one| (one.kind, one.standing, one.name.as_deref())).collect();
    assert_eq!(
        kinds,
        [
            (FeatureKind::PowerLine, Standing::Existing, Some("11 kV")),
            (FeatureKind::Gate, Standing::New, Some("Gate by the road"))
        ]
    );
    let gpx = "<gpx><wpt lat=\"-36\" lon=\"148\"><name>T1</name><type>water point</type></wpt><trk><name>Fence east</name><trkseg>
        <trkpt lat=\"-36\" lon=\"148\"/><trkpt lat=\"-36\" lon=\"148.001\"/></trkseg></trk></gpx>";
    let features = read(folder(&[("features.gpx", gpx.as_bytes())]).path()).project.features;
    assert_eq!(
        features.iter().map(|one| one.kind).collect::<Vec<_>>(),
        [FeatureKind::WaterPoint, FeatureKind::Fence]
    );
    assert!(matches!(features[0].shape, Shape::Points(_)));
}

#[test]
fn what_could_do_harm_is_refused_with_a_word() {
    let bomb = vec![b' '; 300 << 20];
    let said = refused(&[("areas.kmz", &zipped(&[("doc.kml", &bomb)]))]);
    assert_eq!(said, ["areas.kmz unpacks-too-big"]);
    let slip = zipped(&[("../../areas.shp", b"x")]);
    assert_eq!(refused(&[("areas.zip", &slip)]), ["areas.zip path-leaves-folder"]);
    let corner = |at: u32| {
        let angle = f64::from(at) / 1e6 * std::f64::consts::TAU;
        format!("{:.7},{:.7}", 148.0 + 0.01 * angle.cos(), -36.0 + 0.01 * angle.sin())
    };
    let million: Vec<String> = (0..1_000_000).map(corner).collect();
    let text = format!(
        "<kml><Placemark><name>North</name><Polygon><outerBoundaryIs><LinearRing><coordinates>{}</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark></kml>",
        million.join(" ")
    );
    assert_eq!(refused(&[("areas.kml", text.as_bytes())]), ["areas.kml:1 (geometry) too-many-corners"]);
    let circle: Vec<(f64, f64)> = (0..1_000_000)
        .map(|at| {
            let angle = -f64::from(at) / 1e6 * std::f64::consts::TAU;
            (148.0 + 0.01 * angle.cos(), -36.0 + 0.01 * angle.sin())
        })
        .collect();
    let (shp, dbf) = shapefile(&[("North", MultiPolygon(vec![Polygon::new(circle.into(), vec![])]))]);
    let said = refused(&[("areas.shp", &shp), ("areas.dbf", &dbf), ("areas.prj", WGS84.as_bytes())]);
    assert_eq!(said, ["areas.shp:1 (geometry) too-many-corners"]);
}

#[test]
fn coordinates_that_are_no_numbers_are_refused_in_every_format() {
    for number in ["NaN", "inf", "-inf", "1e999"] {
        let text = kml(&plain()).replacen("148,", &format!("{number},"), 1);
        assert_eq!(
            refused(&[("areas.kml", text.as_bytes())]),
            ["areas.kml:1 (geometry) not-on-earth"],
            "{number}"
        );
        let text = gpx(&plain()).replacen("lon=\"148.000000\"", &format!("lon=\"{number}\""), 1);
        assert_eq!(
            refused(&[("areas.gpx", text.as_bytes())])[0],
            "areas.gpx:2 (geometry) not-on-earth",
            "{number}"
        );
    }
    for number in [f64::NAN, f64::INFINITY] {
        let mut areas = plain();
        areas[0].1.0[0].exterior_mut(|ring| ring.0[1].x = number);
        let (shp, dbf) = shapefile(&areas);
        let files = [("areas.shp", &shp[..]), ("areas.dbf", &dbf), ("areas.prj", WGS84.as_bytes())];
        assert_eq!(refused(&files)[0], "areas.shp:1 (geometry) not-on-earth", "{number}");
        let prj = named("GDA2020_MGA_Zone_55");
        let grid = Grid::of_epsg(7855).unwrap();
        let mut metres = moved(&plain(), |at| grid.to_grid(at).unwrap());
        metres[0].1.0[0].exterior_mut(|ring| ring.0[1].x = number);
        let (shp, dbf) = shapefile(&metres);
        let files = [("areas.shp", &shp[..]), ("areas.dbf", &dbf), ("areas.prj", prj.as_bytes())];
        assert_eq!(refused(&files)[0], "areas.shp:1 (geometry) not-in-system", "{number}");
    }
}

#[test]
fn what_goes_out_comes_in_again() {
    for (areas, endings) in
        [(plain(), &["geojson", "kml", "gpx", "zip"][..]), (pierced(), &["geojson", "kml", "zip"])]
    {
        let json = geo_json(&areas).replacen("\"North\"", "\"North & <east>\"", 1);
        let dir = folder(&[("areas.geojson", json.as_bytes())]);
        for table in ["plantings.csv", "plots.csv", "works.csv", "photopoints.csv"] {
            let text = fs::read_to_string(dir.path().join(table)).unwrap();
            fs::write(dir.path().join(table), text.replace(",North,", ",North & <east>,")).unwrap();
        }
        let Intake { project, problems, .. } = read(dir.path());
        let files = hillfolio_documents::exports::files(
            &project,
            None,
            &hillfolio_core::ledger::fill(&project),
            &problems,
            None,
        )
        .unwrap();
        let exported =
            |name: &str| files.iter().find(|(path, _)| path == &format!("layers/{name}")).unwrap().1.clone();
        for ending in endings {
            fs::remove_file(dir.path().join("areas.geojson")).ok();
            let path = dir.path().join(format!("areas.{ending}"));
            fs::write(&path, exported(&format!("areas.{ending}"))).unwrap();
            let again = read(dir.path());
            assert_eq!(codes(&again.problems), [""; 0], "{ending}");
            for (one, other) in again.project.areas.iter().zip(&project.areas) {
                assert_eq!(one.id, other.id, "{ending}");
                let (one, other) = (geometry::area(&one.boundary).0, geometry::area(&other.boundary).0);
                assert!((one / other - 1.0).abs() < 1e-6, "{ending}: {one} for {other}");
            }
            fs::remove_file(path).unwrap();
        }
        fs::write(dir.path().join("areas.geojson"), &json).unwrap();
        for ending in ["geojson", "kml", "gpx", "zip"] {
            fs::remove_file(dir.path().join("features.geojson")).ok();
            let path = dir.path().join(format!("features.{ending}"));
            fs::write(&path, exported(&format!("features.{ending}"))).unwrap();
            let again = read(dir.path()).project.features;
            assert_eq!(again.len(), project.features.len(), "{ending}");
            assert_eq!(again[0].kind, project.features[0].kind, "{ending}");
            assert_eq!(again[0].shape, project.features[0].shape, "{ending}");
            fs::remove_file(path).unwrap();
        }
    }
}
