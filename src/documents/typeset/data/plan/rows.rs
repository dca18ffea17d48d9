//! The ground of the plan and its rows.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{photos::degrees, printed::Printed},
};
use hillfolio_core::{
    ledger::catalogue,
    plan::{self, LaidOn, Plan, RowLine},
    units::{number, whole},
};

/// What of an area can be planted, and what takes the rest.
#[derive(Serialize, JsonSchema)]
pub(super) struct PlantableRow {
    area: String,
    whole: Printed,
    plantable: Printed,
    taken_out: Vec<(String, String)>,
}

/// The rows of one area.
#[derive(Serialize, JsonSchema)]
pub(super) struct AreaRows {
    area: String,
    /// Whether they follow a drawn line instead of the contour.
    guided: bool,
    slope: Printed,
    /// Metres between rows on the map.
    apart: Printed,
    rows: Vec<RowRow>,
}

/// One row.
#[derive(Serialize, JsonSchema)]
pub(super) struct RowRow {
    number: String,
    length: String,
    /// Metres of it on ground for hand work alone; empty where there are none.
    by_hand: String,
    stems: String,
    /// Metres from the start to the first stem.
    first: String,
    latitude: String,
    longitude: String,
    species: String,
}

pub(super) fn ground(inputs: &ReportInputs<'_>, plan: &Plan) -> Vec<PlantableRow> {
    plan.plantable
        .iter()
        .map(|ground| PlantableRow {
            area: ground.area.to_string(),
            whole: Printed::about(inputs.ledger, &catalogue::AREA, &ground.area.0),
            plantable: Printed::about(inputs.ledger, &catalogue::PLANTABLE, &ground.area.0),
            taken_out: ground
                .taken_out
                .iter()
                .map(|taken| (taken.reason.to_string(), number(taken.hectares.0, 2)))
                .collect(),
        })
        .collect()
}

pub(super) fn areas(inputs: &ReportInputs<'_>, plan: &Plan) -> Vec<AreaRows> {
    let mut rows: BTreeMap<String, Vec<RowRow>> = BTreeMap::new();
    for line in plan::row_list(plan) {
        rows.entry(line.area.to_string()).or_default().push(row(line));
    }
    plan.areas
        .iter()
        .map(|area| {
            let name = area.rows.plantable.area.to_string();
            AreaRows {
                guided: matches!(area.rows.laid_on, LaidOn::GuideLine(_)),
                slope: Printed::about(inputs.ledger, &catalogue::ROW_SLOPE, &name),
                apart: Printed::about(inputs.ledger, &catalogue::ROW_MAP_SPACING, &name),
                rows: rows.remove(&name).unwrap_or_default(),
                area: name,
            }
        })
        .collect()
}

fn row(line: RowLine) -> RowRow {
    RowRow {
        number: line.number.to_string(),
        length: number(line.length.0, 0),
        by_hand: if line.by_hand.0 >= 0.5 { number(line.by_hand.0, 0) } else { String::new() },
        stems: whole(line.stems.0),
        first: number(line.first.0, 1),
        latitude: degrees(line.start.y(), 'N', 'S'),
        longitude: degrees(line.start.x(), 'E', 'W'),
        species: line.species,
    }
}
