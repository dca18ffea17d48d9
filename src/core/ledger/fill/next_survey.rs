//! How near this survey came, and how many plots the next one needs.

use crate::{
    estimate::{
        Estimate, Finding, Gap, Method,
        density::{self, Counted},
        interval::{Clumping, clustered::of_stems, density as density_limits},
        plots_needed::{LimitsOf, half_width, plots_needed},
        stratified::Stratified,
        survival,
        visit::{self, Found},
    },
    ledger::{
        Ledger, catalogue,
        fill::{FillContext, Scope, survival::within as planted_within},
    },
    source::Sources,
    units::Count,
};

/// How near the next survey is to come: ten points of the share alive, a tenth of the density.
const REACH: f64 = 0.10;

pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>) {
    for scope in context.areas() {
        of_scope(ledger, context, scope);
    }
}

/// How near the latest visits came, and how many plots would come nearer.
fn of_scope(ledger: &mut Ledger, context: &FillContext<'_>, scope: Scope<'_>) {
    let visits = context.visits(scope);
    if visits.is_empty() {
        return;
    }
    let survey = visit::survey(visits.iter().copied(), |_, _| None).whole;
    let found: Vec<&Found<'_>> = survey.iter().collect();
    let planted = planted_within(&context.log.stems, scope);
    let alive = survival::joint(&found, &planted);
    let density = density::joint(&visits, &context.grounds, Counted::Living);
    let sources: Sources = visits
        .iter()
        .flat_map(|visit| visit.tallies.iter().map(|tally| &tally.source).chain([&visit.plot.source]))
        .collect();
    let scale = density.map_or(1.0, |joint| joint.value);
    let of_alive = |found: &Stratified| Some(of_stems(found, context.confidence).interval);
    let of_density = |found: &Stratified| density_limits(found, Clumping::STEMS, context.confidence);
    let (of_alive, of_density): (LimitsOf<'_>, LimitsOf<'_>) = (&of_alive, &of_density);
    for (joint, scale, limits, precision, plots_needed) in [
        (alive, 1.0, of_alive, &catalogue::SURVIVAL_PRECISION, &catalogue::SURVIVAL_PLOTS_NEEDED),
        (density, scale, of_density, &catalogue::DENSITY_PRECISION, &catalogue::DENSITY_PLOTS_NEEDED),
    ] {
        let joint = joint.filter(|joint| !joint.census && joint.plots > 1);
        let next = Next { joint, scale, sources: &sources, limits };
        ledger.enter_series(precision, scope, next.reached());
        ledger.enter_series(plots_needed, scope, next.needed());
    }
}

/// What this survey tells of the next.
struct Next<'a> {
    joint: Option<Stratified>,
    /// What a reach of 1 means, in the unit of the estimate.
    scale: f64,
    sources: &'a Sources,
    /// Limits of the estimate by what plots find.
    limits: LimitsOf<'a>,
}

impl Next<'_> {
    fn reached(&self) -> Finding<f64> {
        let half = self.joint.and_then(|joint| half_width(&joint, self.limits)).ok_or(Gap::NoSpread)?;
        Ok(Estimate::counted(half / self.scale, Method::PRECISION, self.sources.clone()).note(self.plots()))
    }

    fn needed(&self) -> Finding<Count> {
        let needed = self.joint.and_then(|joint| plots_needed(&joint, REACH * self.scale, self.limits));
        let needed = Count(needed.ok_or(Gap::NoSpread)? as u64);
        Ok(Estimate::counted(needed, Method::PLOTS_NEEDED, self.sources.clone()).note(self.plots()))
    }

    fn plots(&self) -> String {
        let plots = self.joint.map_or(0, |joint| joint.plots);
        format!("this survey had {plots} {}", if plots == 1 { "plot" } else { "plots" })
    }
}
