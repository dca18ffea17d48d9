//! Species found alive in plots.

use std::collections::BTreeSet;

use crate::{
    estimate::{Estimate, Finding, Gap, Method, visit::Visit},
    project::SpeciesId,
    units::Count,
};

/// Species with a living stem, planted or self-sown, in the latest visits; pooled over plots, without weights.
///
/// # Errors
/// No plot was surveyed.
pub fn richness(visits: &[&Visit<'_>]) -> Finding<Count> {
    if visits.is_empty() {
        return Err(Gap::NotSurveyed);
    }
    let tallies = || visits.iter().flat_map(|visit| visit.tallies.iter().copied());
    let living = |alive: u64, sown: Option<u64>| alive > 0 || sown.is_some_and(|stems| stems > 0);
    let species: BTreeSet<&SpeciesId> = tallies()
        .filter(|tally| living(tally.alive.0, tally.recruits.map(|stems| stems.0)))
        .map(|tally| &tally.species)
        .collect();
    let sources = tallies().map(|tally| &tally.source).collect();
    let plots = if visits.len() == 1 { "plot" } else { "plots" };
    Ok(Estimate::counted(Count(species.len() as u64), Method::Distinct, sources)
        .note(format!("seen in {} {plots}; rarer species may stand outside them", visits.len())))
}
