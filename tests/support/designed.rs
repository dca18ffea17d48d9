//! The small project with rows to set out, flat and on a hill.
#![allow(unreachable_pub, dead_code, reason = "not every test binary sets out rows")]

use std::collections::{BTreeMap, BTreeSet};

use hillfolio_core::{
    project::{FeatureKind, Ground, PlantingDesign, Project, SpeciesId, StockLine},
    units::Metres,
};

use crate::support::{hill, row, small_project};

pub(crate) fn designed() -> Project {
    let mut project = small_project();
    project.design = Some(PlantingDesign {
        areas: None,
        spacing: Metres(5.0),
        stem_spacing: Metres(2.0),
        strip: Some(Metres(3.0)),
        machine_rate: None,
        hand_rate: None,
        setback: BTreeMap::from([(FeatureKind::Fence, Metres(3.0))]),
        pattern: vec!["pioneer".to_owned(), "late".to_owned()],
        steepest: None,
        exposed: None,
        stagger: true,
    });
    // Nothing stands there yet, and the stock table asks for what the small project planted.
    let mut asked = BTreeSet::new();
    let planted = std::mem::take(&mut project.plantings).into_iter();
    project.stock = planted
        .filter(|planting| asked.insert(planting.species.clone()))
        .map(|planting| line(planting.species))
        .collect();
    project
}

/// A line of the stock table that asks for a share and no more.
pub(crate) fn line(species: SpeciesId) -> StockLine {
    StockLine {
        species,
        share: Some(1.0),
        in_hand: None,
        germination: None,
        purity: None,
        seeds_per_gram: None,
        overage: None,
        stock: None,
        provenance: None,
        order_months: None,
        source: row("stock.csv", 2),
    }
}

pub(crate) fn on_a_hill() -> Project {
    let mut project = designed();
    project.ground = Some(Ground { heights: hill().into(), file: "terrain.tif".into() });
    project.areas.truncate(1);
    project
}
