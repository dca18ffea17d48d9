//! The small project with rows to set out, flat and on a hill.
#![allow(unreachable_pub, dead_code, reason = "not every test binary sets out rows")]

use std::collections::BTreeMap;

use hillfolio_core::{
    project::{FeatureKind, Ground, PlantingDesign, Project},
    units::Metres,
};

use crate::support::{hill, small_project};

pub(crate) fn designed() -> Project {
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

pub(crate) fn on_a_hill() -> Project {
    let mut project = designed();
    project.ground = Some(Ground { heights: hill().into(), file: "terrain.tif".into() });
    project.areas.truncate(1);
    project.plantings.retain(|planting| planting.area == project.areas[0].id);
    project
}
