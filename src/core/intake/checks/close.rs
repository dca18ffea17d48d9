//! Stems counted alive so close together that none could grow.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    intake::checks::plots::size,
    problem::{Place, Plausibility, Problem},
    project::{Plot, PlotId, Project, Tally},
    units::{number, whole},
};

/// The least ground for each planted stem in a plot, m²: one every metre, the closest that seedlings are set for a forest (common
/// practice, no source).
const LEAST_GROUND: f64 = 1.0;

/// Plots smaller than this are quadrats for seedlings, where a few stems stand close, m² (common practice, no source).
const QUADRAT: f64 = 20.0;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let plots: BTreeMap<&PlotId, &Plot> = project.plots.iter().map(|plot| (&plot.id, plot)).collect();
    let mut visits: BTreeMap<(&PlotId, NaiveDate), Vec<&Tally>> = BTreeMap::new();
    for tally in &project.tallies {
        visits.entry((&tally.plot, tally.date)).or_default().push(tally);
    }
    for ((id, _), rows) in visits {
        let Some(plot) = plots.get(id) else { continue };
        let alive: u64 = rows.iter().map(|tally| tally.alive.0).sum();
        let Some(most) = rows.iter().max_by_key(|tally| tally.alive.0) else { continue };
        if !too_close(plot, alive) {
            continue;
        }
        let (size, each) = (size(plot.shape), size(plot.shape) / count(alive));
        let tenth = most.alive.0 / 10;
        let explained = match most.alive.0.is_multiple_of(10) && tenth > 0 {
            true => format!(
                "; {} {} were counted: {tenth} would be ten times fewer",
                whole(most.alive.0),
                most.species
            ),
            false => format!("; {} of them are {}", whole(most.alive.0), most.species),
        };
        let kind = Plausibility::StemsTooClose {
            alive,
            plot: id.to_string(),
            size: number(size, 1),
            each: number(each, 2),
            explained,
        };
        problems.push(Problem::new(kind, Place::row(&most.source).column("alive")));
    }
}

/// Whether so many stems can't grow in the plot.
pub(super) fn too_close(plot: &Plot, alive: u64) -> bool {
    let size = size(plot.shape);
    size >= QUADRAT && size / count(alive) < LEAST_GROUND
}

#[allow(clippy::cast_precision_loss, reason = "no folder holds 2^53 stems")]
fn count(stems: u64) -> f64 {
    stems as f64
}
