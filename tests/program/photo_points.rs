//! Photo points as a layer: whatever format this program writes them in, it reads them back.

use std::{fs, path::Path};

use crate::{broken::laid_out, commands::hillfolio};

#[test]
fn photo_points_come_back_from_every_format_of_layers() {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program");
    let folder = laid_out(&tests.join("broken/base"));
    let at = |path: &str| folder.path().join(path);
    let wanted = hillfolio::check(folder.path()).unwrap().project.photo_points;
    hillfolio().arg("--quiet").arg("build").arg(folder.path()).args(["--only", "acquittal"]).assert().code(0);
    fs::remove_file(at("photopoints.csv")).unwrap();
    let settings = fs::read_to_string(at("project.toml")).unwrap();
    for ending in ["geojson", "kml", "gpx", "zip"] {
        let layer = at(&format!("photopoints.{ending}"));
        fs::copy(at(&format!("out/layers/photopoints.{ending}")), &layer).unwrap();
        // The table of a shapefile has room for ten letters.
        let short = "\n[tables.photopoints]\ncolumns = { \"bearing_de\" = \"bearing_deg\" }\n";
        let settings = if ending == "zip" { settings.clone() + short } else { settings.clone() };
        fs::write(at("project.toml"), settings).unwrap();
        let intake =
            hillfolio::check(folder.path()).unwrap_or_else(|problems| panic!("{ending}: {problems:?}"));
        assert!(intake.problems.is_empty(), "{ending}: {:?}", intake.problems);
        let found = &intake.project.photo_points;
        assert_eq!(found.len(), wanted.len(), "{ending}");
        for (found, wanted) in found.iter().zip(&wanted) {
            assert_eq!(
                (&found.id, found.bearing, &found.about),
                (&wanted.id, wanted.bearing, &wanted.about),
                "{ending}"
            );
            let (one, other) = (found.position, wanted.position);
            assert!((one.x() - other.x()).abs() < 1e-7 && (one.y() - other.y()).abs() < 1e-7, "{ending}");
        }
        fs::remove_file(layer).unwrap();
    }
}
