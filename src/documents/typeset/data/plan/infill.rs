//! What stands already: what of it died, what is set again, where most died.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{ReportInputs, data::printed::Printed};
use hillfolio_core::{
    ledger::catalogue,
    plan::Plan,
    units::{percent, whole},
};

/// Infill of one area.
#[derive(Serialize, JsonSchema)]
pub(super) struct Infill {
    area: String,
    planted: String,
    dead: Printed,
    stems: Printed,
    /// What the figure to set rests on.
    notes: Vec<String>,
    species: Vec<(String, String, String)>,
    plots: Vec<(String, String, String, String)>,
}

pub(super) fn infill(inputs: &ReportInputs<'_>, plan: &Plan) -> Vec<Infill> {
    let of = |area: &hillfolio_core::plan::AreaInfill| {
        let name = &area.area.0;
        Infill {
            area: name.to_string(),
            planted: whole(area.planted.0),
            dead: Printed::about(inputs.ledger, &catalogue::INFILL_DEAD, name),
            stems: Printed::about(inputs.ledger, &catalogue::INFILL, name),
            notes: area.stems.as_ref().map(|stems| stems.notes.clone()).unwrap_or_default(),
            species: area
                .species
                .iter()
                .filter(|(_, dead, stems)| dead.0 + stems.0 > 0)
                .map(|(species, dead, stems)| (species.to_string(), whole(dead.0), whole(stems.0)))
                .collect(),
            plots: area
                .plots
                .iter()
                .map(|plot| {
                    let share = plot.lost.0 as f64 / plot.set.0 as f64;
                    (plot.plot.to_string(), whole(plot.set.0), whole(plot.lost.0), percent(share, 0))
                })
                .collect(),
        }
    };
    plan.infill.iter().map(of).collect()
}
