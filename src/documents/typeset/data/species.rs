//! Species planted: stock, provenance, supplier, stems, survival.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{
        ends::Ends,
        printed::{self, Printed},
    },
};
use hillfolio_core::{
    ledger::{Series, catalogue},
    project::{Planting, SpeciesId},
    units::number,
};

/// The species table.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Species {
    rows: Vec<Row>,
    stems_in_period: Printed,
    stems: Printed,
    survival: Printed,
}

/// One species.
#[derive(Serialize, JsonSchema)]
struct Row {
    scientific: String,
    common: String,
    stock: String,
    provenance: String,
    supplier: String,
    stems_in_period: Printed,
    stems: Printed,
    survival: Printed,
    height: Option<Printed>,
    /// Stems planted to date beside those of the species planted most, from 0 to 1.
    bar: f64,
    /// Where the share alive and its interval lie from 0 to 1; `None` where it rests on fewer stems than [`FEWEST`].
    alive: Option<Ends>,
    /// What was counted, where it is too little for a share.
    counted: Option<String>,
    /// The two counts that it rests on.
    set_in_plots: Option<Printed>,
    alive_in_plots: Option<Printed>,
}

/// A share rests on as many stems at the least; of fewer only the count is told.
const FEWEST: f64 = 10.0;

impl Species {
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> Species {
        let mut planted: BTreeMap<&SpeciesId, Vec<&Planting>> = BTreeMap::new();
        for planting in inputs.project.plantings_to_date() {
            planted.entry(&planting.species).or_default().push(planting);
        }
        let most = planted.keys().filter_map(|id| value(inputs, &catalogue::SPECIES_STEMS, id));
        let most = most.fold(0.0, f64::max);
        Species {
            rows: planted.into_iter().map(|(id, plantings)| row(inputs, id, &plantings, most)).collect(),
            stems_in_period: Printed::of(inputs.ledger, &catalogue::STEMS_IN_PERIOD.whole()),
            stems: Printed::of(inputs.ledger, &catalogue::STEMS.whole()),
            survival: Printed::of(inputs.ledger, &catalogue::SURVIVAL.whole()),
        }
    }
}

/// The value of the figure of `series` and `id`.
fn value(inputs: &ReportInputs<'_>, series: &Series, id: &SpeciesId) -> Option<f64> {
    inputs.ledger.figure(series.id(&[&id.0]).as_str()).map(|figure| figure.value)
}

fn row(inputs: &ReportInputs<'_>, id: &SpeciesId, plantings: &[&Planting], most: f64) -> Row {
    let figure = |series: &Series| Printed::about(inputs.ledger, series, &id.0);
    let known = inputs.project.species.get(id);
    let [set, alive] = [&catalogue::SPECIES_SET_IN_PLOTS, &catalogue::SPECIES_ALIVE_IN_PLOTS];
    let found = value(inputs, set, id).zip(value(inputs, alive, id));
    let enough = found.is_none_or(|(set, _)| set >= FEWEST);
    let told = |series: &Series| Printed::find(inputs.ledger, &series.id(&[&id.0]));
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
        height: told(&catalogue::HEIGHT),
        bar: value(inputs, &catalogue::SPECIES_STEMS, id).map_or(0.0, |stems| stems / most.max(1.0)),
        alive: Ends::of_share(inputs.ledger, &catalogue::SPECIES_SURVIVAL.id(&[&id.0])).filter(|_| enough),
        counted: found
            .filter(|_| !enough)
            .map(|(set, alive)| format!("{} of {} alive", number(alive, 0), number(set, 0))),
        set_in_plots: told(set),
        alive_in_plots: told(alive),
    }
}
