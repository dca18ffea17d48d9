//! The plan through the whole of the ledger, on a made-up hill under the small project.

use std::collections::BTreeMap;

use geo::{LineString, MultiLineString};
use hillfolio::{
    ledger,
    plan::{LaidOn, NoRows, make},
    project::{Feature, FeatureKind, Ground, PlantingDesign, Project, Shape, Standing},
    units::Metres,
};

use crate::support::{hill, row, small_project};

fn designed() -> Project {
    let mut project = small_project();
    project.design = Some(PlantingDesign {
        spacing: Metres(5.0),
        stem_spacing: Metres(2.0),
        strip: Some(Metres(3.0)),
        setback: BTreeMap::from([(FeatureKind::Fence, Metres(3.0))]),
        pattern: vec!["pioneer".to_owned(), "late".to_owned()],
        steepest: None,
        exposed: None,
        stagger: true,
    });
    project
}

fn on_a_hill() -> Project {
    let mut project = designed();
    project.ground = Some(Ground { heights: hill(), file: "terrain.tif".into() });
    project.areas.truncate(1);
    project.plantings.retain(|planting| planting.area == project.areas[0].id);
    project
}

#[test]
fn without_a_design_there_is_no_plan() {
    assert!(make(&small_project()).is_none());
    let ledger = ledger::fill(&small_project());
    assert!(!ledger.iter().any(|(id, _)| id.as_str().starts_with("plan.")));
}

/// Stems by species, by row and in all are one number, and the ledger's is that.
#[test]
fn the_ledger_holds_what_the_plan_says() {
    let project = on_a_hill();
    let plan = make(&project).unwrap();
    let ledger = ledger::fill_with(&project, Some(&plan));
    let value = |id: &str| ledger.figure(id).unwrap().value;
    assert_eq!(value("plan.rows"), plan.areas[0].rows.rows.len() as f64);
    let stems = plan.areas[0].stems.len() as f64;
    assert_eq!(value("plan.stems.all"), stems);
    let by_species = ["plan.stems.acacia-melanoxylon", "plan.stems.lophostemon-confertus"].map(value);
    assert_eq!(by_species.iter().sum::<f64>(), stems);
    assert!((by_species[0] - by_species[1]).abs() <= 1.0, "pioneer and late by turns: {by_species:?}");
    let dealt = plan.dealt.as_ref().unwrap();
    assert_eq!((dealt.alike, dealt.misses.len()), (0, 0));
    assert!((value("plan.spacing.p50") / 5.0 - 1.0).abs() < 0.01);
    let spread = plan.spread().unwrap();
    assert_eq!(value("plan.spacing.held"), spread.spaced.part());
    assert_eq!(value("plan.level"), spread.level.part());
    // Two gullies of 14 m depth and 40 m width: more of the rows must stray than on any of the reference terrains.
    assert!(spread.spaced.part() > 0.9 && spread.level.part() > 0.9, "{spread:?}");
    let length = value("plan.row-length");
    assert!((value("plan.edge") - 2.0 * length - 4.0 * value("plan.rows")).abs() < 1e-6, "bands of 2 m");
    let taken: f64 = plan.plantable[0].taken_out.iter().map(|taken| taken.hectares.0).sum();
    assert!((value("plan.area.all") + taken - value("site.area.north-face")).abs() < 1e-9);
    // A stem for every 10 m² of ground, and one for every row's end.
    let ground = value("plan.area.all") * 10_000.0 / 10.0;
    assert!((stems / ground - 1.0).abs() < 0.06, "{stems} stems on {ground} places");
}

#[test]
fn the_same_project_gives_the_same_plan() {
    let project = on_a_hill();
    let (one, other) = (make(&project).unwrap(), make(&project).unwrap());
    assert_eq!(one.areas[0].rows.rows, other.areas[0].rows.rows);
    assert_eq!(one.areas[0].species, other.areas[0].species);
}

#[test]
fn without_terrain_rows_follow_a_guide_line_or_are_left_out() {
    let mut project = designed();
    let plan = make(&project).unwrap();
    assert!(plan.areas.is_empty());
    assert!(plan.without_rows.iter().all(|(_, why)| *why == NoRows::NoGuide));
    let ledger = ledger::fill_with(&project, Some(&plan));
    assert!(ledger.figure("plan.rows").is_none(), "a gap, not nought");

    let line = LineString::from(vec![(148.0, -35.9995), (148.003, -35.9992)]);
    project.features.push(Feature {
        kind: FeatureKind::GuideLine,
        standing: Standing::New,
        name: None,
        shape: Shape::Lines(MultiLineString(vec![line])),
        source: row("features.geojson", 9),
    });
    let plan = make(&project).unwrap();
    assert_eq!(plan.areas.len(), 2);
    assert!(plan.areas.iter().all(|area| matches!(area.rows.laid_on, LaidOn::GuideLine(_))));
    let ledger = ledger::fill_with(&project, Some(&plan));
    assert!(ledger.figure("plan.rows").unwrap().notes.iter().any(|note| note.contains("guide line")));
    assert!(ledger.figure("plan.spacing.p50").is_none());
}
