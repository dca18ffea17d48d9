//! Folders round files that other people made, against figures that other programs worked out from the same files.
//!
//! Each folder says in its README.md where its file comes from and under which licence. `truth.json` holds ledger ids with their
//! values by pyproj 3.7.2 and rasterio 1.4.4, and hectares of single areas; nothing in it was worked out by this program.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    reason = "a test may stop at once"
)]

use std::{
    fs,
    path::{Path, PathBuf},
};

use hillfolio_core::{
    geometry,
    intake::{self, Folder, Intake},
    ledger,
    project::{FeatureKind, Shape, Standing},
    units::Hectares,
};
use serde_json::Value;

fn folder(id: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/program/real").join(id)
}

fn read(id: &str) -> Result<Intake, Vec<String>> {
    let folder = Folder::open(&folder(id)).unwrap();
    let said = |problem: &hillfolio_core::problem::Problem| format!("{}: {}", problem.place, problem.kind);
    intake::read(&folder, &|_| true).map_err(|problems| problems.iter().map(said).collect())
}

fn sound(id: &str) -> Intake {
    read(id).unwrap_or_else(|problems| panic!("{id}: {problems:#?}"))
}

fn codes(intake: &Intake) -> Vec<String> {
    intake.problems.iter().map(|problem| problem.kind.code().into_owned()).collect()
}

/// Folders that are read and have a truth.
fn with_truth() -> Vec<(String, Value)> {
    let entries = fs::read_dir(folder("")).unwrap().map(|entry| entry.unwrap());
    let names = entries.filter_map(|entry| entry.file_name().into_string().ok());
    let mut cases: Vec<(String, Value)> = names
        .filter(|id| *id != "a-simplepoly")
        .filter_map(|id| {
            let truth = fs::read_to_string(folder(&id).join("truth.json")).ok()?;
            Some((id, serde_json::from_str(&truth).unwrap()))
        })
        .collect();
    cases.sort_by(|one, other| one.0.cmp(&other.0));
    assert!(cases.len() >= 16, "{}", cases.len());
    cases
}

#[test]
fn the_ledger_holds_what_other_programs_find() {
    let mut wrong = Vec::new();
    for (id, truth) in with_truth() {
        let intake = sound(&id);
        let ledger = ledger::fill(&intake.project);
        let relative = truth["tolerance"].as_f64().unwrap_or(1e-4);
        for (figure, expected) in truth["figures"].as_object().into_iter().flatten() {
            let expected = expected.as_f64().unwrap();
            let Some(found) = ledger.figure(figure) else {
                wrong.push(format!("{id}: no {figure}"));
                continue;
            };
            let allowed = match truth["tolerance_deg"].as_f64() {
                Some(degrees) => degrees,
                None => relative * expected.abs(),
            };
            if (found.value - expected).abs() > allowed {
                wrong.push(format!("{id}: {figure} is {}, not {expected}", found.value));
            }
        }
        for (area, hectares) in truth["areas_ha"].as_object().into_iter().flatten() {
            let hectares = hectares.as_f64().unwrap();
            // Where the file has no names, the truth counts its shapes from nought.
            let areas = &intake.project.areas;
            let by_number =
                !truth["areas_ha"]["0"].is_null() && areas.iter().all(|known| *known.id.0 != *"0");
            let known = match by_number {
                true => areas.get(area.parse::<usize>().unwrap()),
                false => areas.iter().find(|known| *known.id.0 == **area),
            };
            let known = known.or_else(|| areas.first().filter(|_| area == "?"));
            let Some(known) = known else {
                wrong.push(format!("{id}: no area {area}"));
                continue;
            };
            let found = Hectares::from(geometry::area(&known.boundary)).0;
            // The truth is rounded to a hundredth of a square metre.
            if (found - hectares).abs() > relative * hectares + 1e-6 {
                wrong.push(format!("{id}: {area} has {found} ha, not {hectares}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_layer_of_no_known_place_is_refused_with_what_to_do() {
    let problems = read("a-simplepoly").unwrap_err();
    assert!(problems[0].contains("no .prj"), "{problems:#?}");
}

#[test]
fn shapes_without_a_name_are_numbered_and_empty_ones_left_out() {
    let intake = sound("k-geoms");
    let names: Vec<&str> = intake.project.areas.iter().map(|area| &*area.id.0).collect();
    assert!(names.iter().all(|name| name.starts_with("APTBoundary ")), "{names:?}");
    assert!(codes(&intake).contains(&"empty-left-out".to_owned()));
    assert_eq!(sound("a-buildings").project.areas.len(), 84);
}

/// Gaps by pyproj: the truth of the folder holds them.
#[test]
fn walks_that_come_back_are_areas_and_others_are_left_out() {
    let intake = sound("g-blue-hills-pla");
    let names: Vec<&str> = intake.project.areas.iter().map(|area| &*area.id.0).collect();
    assert_eq!(names, ["BIG LOOP", "BUCK HILL"]);
    assert!(codes(&intake).contains(&"tracks-left-out".to_owned()));
}

/// The shapefile's own column LENGTH, in the metres of its grid: a ten-thousandth of it is the scale of UTM.
#[test]
fn a_coverage_of_streams_is_watercourses() {
    let intake = sound("f-scbi-streams");
    let features = &intake.project.features;
    assert_eq!(features.len(), 4);
    assert!(features.iter().all(|feature| feature.kind == FeatureKind::Watercourse));
    assert!(features.iter().all(|feature| matches!(feature.shape, Shape::Lines(_))));
    assert_eq!(sound("f-gpxwpt").project.features.len(), 40);
}

/// Every way that the folder's README and its maker put a picture: by place and bearing, by the minutes after such a one, as a picture
/// of the work, left out as of another place or of no day.
#[test]
fn a_folder_as_a_person_has_it_is_read_whole() {
    let intake = sound("../as-kept");
    let project = &intake.project;
    let features: Vec<(&str, FeatureKind, Standing)> = project
        .features
        .iter()
        .map(|one| (one.name.as_deref().unwrap_or_default(), one.kind, one.standing))
        .collect();
    use FeatureKind::{Fence, Gate, Track, WaterPoint, Watercourse};
    assert_eq!(
        features,
        [
            ("New fence", Fence, Standing::New),
            ("old track", Track, Standing::Existing),
            ("Creek", Watercourse, Standing::Existing),
            ("Gate 2", Gate, Standing::Existing),
            ("Water trough", WaterPoint, Standing::Existing),
            ("fence - new", Fence, Standing::New),
        ]
    );
    let of =
        |point: Option<&str>| project.photos.iter().filter(|photo| photo.point.as_deref() == point).count();
    assert_eq!([of(Some("P1")), of(Some("P2")), of(None)], [6, 3, 19]);
    let work = project.photos.iter().filter(|photo| photo.point.is_none());
    let in_top = work.filter(|photo| photo.area.as_ref().is_some_and(|area| *area.0 == *"Top")).count();
    assert_eq!(in_top, 15, "of those with a place");
    let codes = codes(&intake);
    for code in ["photos-placed", "photo-elsewhere", "photo-without-date", "features-by-name"] {
        assert_eq!(
            codes.iter().filter(|found| *found == code).count(),
            if code == "features-by-name" { 2 } else { 1 },
            "{code}"
        );
    }
    let kept = project.inputs.iter().filter(|input| input.path.ends_with(".HEIC")).count();
    assert_eq!(kept, 10, "the pack keeps the originals");
}
