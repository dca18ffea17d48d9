//! Species planted: stock, provenance, supplier, stems, survival.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::printed::{self, Printed},
};
use hillfolio_core::{
    ledger::{Series, catalogue},
    project::{Planting, SpeciesId},
};

/// The species table.
#[derive(Serialize)]
pub(crate) struct Species {
    rows: Vec<Row>,
    stems_in_period: Printed,
    stems: Printed,
    survival: Printed,
}

/// One species.
#[derive(Serialize)]
struct Row {
    scientific: String,
    common: String,
    stock: String,
    provenance: String,
    supplier: String,
    stems_in_period: Printed,
    stems: Printed,
    survival: Printed,
}

impl Species {
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> Species {
        let mut planted: BTreeMap<&SpeciesId, Vec<&Planting>> = BTreeMap::new();
        for planting in inputs.project.plantings_to_date() {
            planted.entry(&planting.species).or_default().push(planting);
        }
        Species {
            rows: planted.into_iter().map(|(id, plantings)| row(inputs, id, &plantings)).collect(),
            stems_in_period: Printed::of(inputs.ledger, &catalogue::STEMS_IN_PERIOD.whole()),
            stems: Printed::of(inputs.ledger, &catalogue::STEMS.whole()),
            survival: Printed::of(inputs.ledger, &catalogue::SURVIVAL.whole()),
        }
    }
}

fn row(inputs: &ReportInputs<'_>, id: &SpeciesId, plantings: &[&Planting]) -> Row {
    let figure = |series: &Series| Printed::about(inputs.ledger, series, &id.0);
    let known = inputs.project.species.get(id);
    Row {
        scientific: id.to_string(),
        common: known.and_then(|species| species.common_name.clone()).unwrap_or_default(),
        stock: printed::distinct(
            plantings.iter().filter_map(|planting| planting.stock).map(|stock| stock.words()),
        ),
        provenance: printed::distinct(plantings.iter().filter_map(|planting| planting.provenance.as_deref())),
        supplier: printed::distinct(plantings.iter().filter_map(|planting| planting.supplier.as_deref())),
        stems_in_period: figure(&catalogue::SPECIES_STEMS_IN_PERIOD),
        stems: figure(&catalogue::SPECIES_STEMS),
        survival: figure(&catalogue::SPECIES_SURVIVAL),
    }
}
