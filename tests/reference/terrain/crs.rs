//! Coordinate reference systems as other programs spell them, against PROJ.

use hillfolio_core::{geometry::System, intake::terrain::read_prj};
use serde::Deserialize;

/// One spelling of a system, and points on it: longitude and latitude on its own datum, its two numbers, longitude and latitude
/// on WGS 84.
#[derive(Deserialize)]
struct Case {
    code: String,
    kind: String,
    wkt: String,
    points: Vec<[f64; 6]>,
}

/// What no spelling of is read: southern axes, the New Zealand Map Grid, Mollweide, grads from Paris; and one spelling of a
/// cylinder.
const REFUSED: [&str; 5] = ["EPSG:2048", "EPSG:27200", "ESRI:54009", "EPSG:4807", "EPSG:6933 WKT1_ESRI"];

/// A centimetre and five metres, in degrees of latitude.
const CENTIMETRE: f64 = 9e-8;
const FIVE_METRES: f64 = 4.5e-5;

/// What PROJ 9.5.1 through pyproj wrote as the well-known text of each system, with and without codes, and where its points are.
#[test]
fn every_spelling_leads_where_proj_leads_or_is_refused() {
    let cases: Vec<Case> = serde_json::from_str(include_str!("../data/crs.json")).expect("cases");
    let mut wrong = Vec::new();
    for case in &cases {
        let said = format!("{} {}", case.code, case.kind);
        let refused = REFUSED.iter().any(|refused| said.starts_with(refused));
        let reference = read_prj(&case.wkt).unwrap_or_else(|| panic!("{said}"));
        let Some(crs) = &reference.crs else {
            if !refused {
                wrong.push(format!("{said}: {:?}", reference.refused));
            }
            continue;
        };
        if refused {
            wrong.push(format!("{said} is read"));
            continue;
        }
        let system = System::of(crs).unwrap_or_else(|| panic!("{said}"));
        for [own_longitude, own_latitude, x, y, longitude, latitude] in &case.points {
            let Some(place) = system.to_geographic(*x, *y) else {
                wrong.push(format!("{said}: {x} {y} is nowhere"));
                continue;
            };
            let off = |longitude: &f64, latitude: &f64| {
                (place.x() - longitude).abs().max((place.y() - latitude).abs())
            };
            let allowed = match crs.strays() {
                Some(metres) => 0.001 * metres.min(1.0) / 111_000.0,
                None => FIVE_METRES,
            };
            let right = off(own_longitude, own_latitude) < CENTIMETRE || off(longitude, latitude) < allowed;
            if !right {
                let (own, there) = (off(own_longitude, own_latitude), off(longitude, latitude));
                wrong.push(format!("{said}: {own:.7} or {there:.7} degrees off; {}", crs.parameters()));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
