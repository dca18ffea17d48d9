//! The annex of species by plots: what was counted in the latest round of survey, as it was written down.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::ReportInputs;
use hillfolio_core::{
    estimate::visit,
    project::{PlotId, SpeciesId, Tally},
};

/// So many plots stand side by side.
const ACROSS: usize = 12;

/// More plots than this are left to the workbook: nobody reads a hundred columns.
const MOST: usize = 120;

/// The table in blocks of plots.
#[derive(Serialize, JsonSchema)]
pub(crate) struct ByPlot {
    blocks: Vec<Block>,
    /// Plots that were counted, where they are too many to print.
    left_out: Option<usize>,
}

/// Some plots side by side.
#[derive(Serialize, JsonSchema)]
struct Block {
    plots: Vec<String>,
    rows: Vec<Row>,
}

/// One species in these plots.
#[derive(Serialize, JsonSchema)]
struct Row {
    species: String,
    counts: Vec<String>,
}

impl ByPlot {
    /// The plots of the latest round of survey up to the end of the period.
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> ByPlot {
        let project = inputs.project;
        let visits = visit::rounds(project).pop().map(|round| round.visits).unwrap_or_default();
        let visited: BTreeSet<&PlotId> = visits.iter().map(|visit| &visit.plot.id).collect();
        let mut counts: BTreeMap<(&SpeciesId, &PlotId), (u64, u64)> = BTreeMap::new();
        for tally in visits.iter().flat_map(|visit| visit.tallies.iter().copied()) {
            let cell = counts.entry((&tally.species, &tally.plot)).or_default();
            cell.0 += tally.alive.0;
            cell.1 += sown(tally);
        }
        // In the order of the plots' own table.
        let plots: Vec<&PlotId> =
            project.plots.iter().map(|plot| &plot.id).filter(|plot| visited.contains(plot)).collect();
        if plots.len() > MOST {
            return ByPlot { blocks: Vec::new(), left_out: Some(plots.len()) };
        }
        ByPlot { blocks: plots.chunks(ACROSS).map(|plots| block(plots, &counts)).collect(), left_out: None }
    }
}

fn sown(tally: &Tally) -> u64 {
    tally.recruits.map_or(0, |stems| stems.0)
}

fn block(plots: &[&PlotId], counts: &BTreeMap<(&SpeciesId, &PlotId), (u64, u64)>) -> Block {
    let species: BTreeSet<&SpeciesId> =
        counts.keys().filter(|(_, plot)| plots.contains(plot)).map(|(species, _)| *species).collect();
    let cell = |species: &SpeciesId, plot: &PlotId| match counts.get(&(species, plot)) {
        None => String::new(),
        Some((alive, 0)) => alive.to_string(),
        Some((alive, sown)) => format!("{alive}+{sown}"),
    };
    let row = |species: &SpeciesId| Row {
        species: species.to_string(),
        counts: plots.iter().map(|plot| cell(species, plot)).collect(),
    };
    Block {
        plots: plots.iter().map(ToString::to_string).collect(),
        rows: species.into_iter().map(row).collect(),
    }
}
