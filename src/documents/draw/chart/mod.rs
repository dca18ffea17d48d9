//! Charts, each drawn for the width of a text page with plotters.

mod across;
mod backend;
mod bars;
mod canvas;
mod carbon;
mod clear;
mod counted;
mod curve;
mod dots;
mod erosion;
mod frame;
mod heights;
mod money;
mod panels;
mod planted;
mod rain;
mod rain_sum;
mod rarefaction;
mod rounds;
mod scale;
mod series;
mod sites;
mod survival;
mod tagged;
mod words;

use crate::draw::Drawing;
use hillfolio_core::{ledger::Ledger, project::Project};

pub use sites::survival_of_sites;

/// Every chart that there is something to draw for, in the order in which a report shows them.
#[must_use]
pub fn charts(project: &Project, ledger: &Ledger) -> Vec<Drawing> {
    [
        planted::species_planted(project, ledger),
        survival::by_area(project, ledger),
        survival::by_species(project, ledger),
        survival::by_cohort(project, ledger),
        heights::heights(project, ledger),
        money::by_line(project, ledger),
        erosion::soil_loss(project, ledger),
        rain::rain(project, ledger),
        series::stems(project, ledger),
        series::cover(project, ledger),
        tagged::tagged(project, ledger),
        rarefaction::rarefaction(ledger),
        carbon::by_part(project, ledger),
        series::carbon(project, ledger),
        carbon::projection(project, ledger),
    ]
    .into_iter()
    .flatten()
    .collect()
}
