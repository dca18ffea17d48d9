//! Field sheets for the next survey, with plots and species filled in and the counts left blank.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::ReportInputs;
use hillfolio_core::{
    project::{Plot, PlotShape, SpeciesId},
    units::as_written,
};

/// The sheet of one plot.
#[derive(Serialize, JsonSchema)]
pub(crate) struct TallySheet {
    plot: String,
    area: String,
    size: String,
    species: Vec<(String, String)>,
}

/// A sheet for every plot.
pub(crate) fn tallies(inputs: &ReportInputs<'_>) -> Vec<TallySheet> {
    inputs.project.plots.iter().map(|plot| sheet(inputs, plot)).collect()
}

fn sheet(inputs: &ReportInputs<'_>, plot: &Plot) -> TallySheet {
    let project = inputs.project;
    let counted = project.tallies.iter().filter(|tally| tally.plot == plot.id).map(|tally| &tally.species);
    let planted = project
        .plantings_to_date()
        .filter(|planting| planting.area == plot.area)
        .map(|planting| &planting.species);
    // What was counted there before; in a new plot, whatever stands in its area.
    let mut species: BTreeSet<&SpeciesId> = counted.collect();
    if species.is_empty() {
        species = planted.collect();
    }
    let common = |id: &SpeciesId| {
        project.species.get(id).and_then(|species| species.common_name.clone()).unwrap_or_default()
    };
    TallySheet {
        plot: plot.id.to_string(),
        area: plot.area.to_string(),
        size: match plot.shape {
            PlotShape::Area(area) => format!("{} m²", as_written(area.0)),
            PlotShape::Circle(radius) => format!("circle, {} m from its middle", as_written(radius.0)),
            PlotShape::Rectangle(length, width) => {
                format!("{} by {} m", as_written(length.0), as_written(width.0))
            }
        },
        species: species.into_iter().map(|id| (id.to_string(), common(id))).collect(),
    }
}
