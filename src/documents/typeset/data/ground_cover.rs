//! What covers the ground, by layer and area.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{places::areas_and_all, printed::Printed},
};
use hillfolio_core::{
    ledger::catalogue,
    project::{Layer, slug},
};

/// One cover of one layer, area by area.
#[derive(Serialize, JsonSchema)]
pub(crate) struct GroundCover {
    layer: &'static str,
    cover: String,
    rows: Vec<Row>,
}

/// The cover of one area.
#[derive(Serialize, JsonSchema)]
struct Row {
    area: String,
    share: Printed,
}

/// Every cover that was read, by layer, then by name; one cover may be written in two ways.
pub(crate) fn covers(inputs: &ReportInputs<'_>) -> Vec<GroundCover> {
    let mut names: BTreeMap<(Layer, String), &str> = BTreeMap::new();
    for reading in &inputs.project.cover {
        names.entry((reading.layer, slug(&reading.cover))).or_insert(reading.cover.trim());
    }
    let covers = names.into_iter().map(|((layer, cover), name)| {
        let rows = rows(inputs, layer.word(), &cover);
        GroundCover { layer: layer.word(), cover: name.to_owned(), rows }
    });
    covers.filter(|cover| !cover.rows.is_empty()).collect()
}

/// Each area that the ledger knows this cover of, then all of them.
fn rows(inputs: &ReportInputs<'_>, layer: &str, cover: &str) -> Vec<Row> {
    areas_and_all(inputs)
        .filter_map(|(area, name)| {
            let share = Printed::find(inputs.ledger, &catalogue::COVER.id(&[layer, cover, name]))?;
            Some(Row { area, share })
        })
        .collect()
}
