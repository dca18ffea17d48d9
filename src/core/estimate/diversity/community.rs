//! What lives in the plots, as one community: its counts, and the figures made of them.

use std::collections::BTreeMap;

use crate::{
    estimate::{
        Estimate, Finding, Gap, Interval, Method,
        diversity::{chao1, indices, jackknife, rarefied},
        interval::{quantile, symmetric_t},
        ratio::count,
        visit::Visit,
    },
    project::{SpeciesId, SpeciesList},
    source::Sources,
    units::Count,
};

/// Living stems by species, planted and self-sown, in each plot.
pub type PlotCounts<'a> = BTreeMap<&'a SpeciesId, u64>;

/// The living stems of some plots.
#[derive(Debug, Clone, PartialEq)]
pub struct Community<'a> {
    /// Plot by plot.
    pub plots: Vec<PlotCounts<'a>>,
    /// All plots together.
    pub pooled: PlotCounts<'a>,
    /// The rows that say so.
    pub sources: Sources,
}

impl<'a> Community<'a> {
    /// The community that `visits` found; what `species` says are groups of plants belong to none.
    ///
    /// # Errors
    /// No plot was surveyed.
    pub fn of(visits: &[&Visit<'a>], species: &SpeciesList) -> Result<Community<'a>, Gap> {
        if visits.is_empty() {
            return Err(Gap::NotSurveyed);
        }
        let plots: Vec<PlotCounts<'a>> = visits.iter().map(|visit| living(visit, species)).collect();
        let tallies = visits.iter().flat_map(|visit| visit.tallies.iter().copied());
        let sources = tallies.map(|tally| &tally.source).collect();
        let mut pooled = PlotCounts::new();
        for (species, stems) in plots.iter().flatten() {
            *pooled.entry(*species).or_default() += stems;
        }
        Ok(Community { plots, pooled, sources })
    }

    /// Species with a living stem; pooled over plots, without weights.
    #[must_use]
    pub fn richness(&self) -> Estimate<Count> {
        self.species_with(|_| true)
    }

    /// Species with a living stem of which `holds` is true.
    #[must_use]
    pub fn species_with(&self, holds: impl Fn(&SpeciesId) -> bool) -> Estimate<Count> {
        let species = self.pooled.keys().filter(|species| holds(species)).count();
        let plots = if self.plots.len() == 1 { "plot" } else { "plots" };
        Estimate::counted(Count(species as u64), Method::DISTINCT, self.sources.clone())
            .note(format!("seen in {} {plots}; rarer species may stand outside them", self.plots.len()))
    }

    /// Shannon's index.
    ///
    /// # Equations and sources
    /// [`Method::SHANNON`].
    ///
    /// # Errors
    /// No stem lives in the plots.
    pub fn shannon(&self, confidence: f64) -> Finding<f64> {
        self.index(Method::SHANNON, indices::shannon, f64::INFINITY, confidence)
    }

    /// Simpson's index.
    ///
    /// # Equations and sources
    /// [`Method::SIMPSON`].
    ///
    /// # Errors
    /// No stem lives in the plots.
    pub fn simpson(&self, confidence: f64) -> Finding<f64> {
        self.index(Method::SIMPSON, indices::simpson, 1.0, confidence)
    }

    /// Evenness.
    ///
    /// # Equations and sources
    /// [`Method::EVENNESS`].
    ///
    /// # Errors
    /// Fewer than two species live in the plots.
    pub fn evenness(&self, confidence: f64) -> Finding<f64> {
        self.index(Method::EVENNESS, indices::evenness, 1.0, confidence)
    }

    fn index(
        &self,
        method: Method,
        index: fn(&[u64]) -> Option<f64>,
        most: f64,
        confidence: f64,
    ) -> Finding<f64> {
        let value = index(&numbers(&self.pooled)).ok_or(Gap::NoLivingStem)?;
        let mut estimate = Estimate::counted(value, method, self.sources.clone()).note(self.size());
        match jackknife(self.plots.len(), |left| index(&self.without(left))) {
            Some(variance) => {
                let df = count(self.plots.len()) - 1.0;
                let (low, high) = symmetric_t(value, variance, df, confidence);
                estimate.interval = Some(Interval { low: low.max(0.0), high: high.min(most), confidence });
                Ok(estimate)
            }
            None => Ok(estimate.note("too few plots with living stems for an interval")),
        }
    }

    /// The pooled counts without those of one plot.
    fn without(&self, left: usize) -> Vec<u64> {
        let own = |species| self.plots[left].get(species).copied().unwrap_or_default();
        self.pooled.iter().map(|(&species, &stems)| stems - own(species)).collect()
    }

    /// How many species a larger survey would find at the least.
    ///
    /// # Equations and sources
    /// [`Method::CHAO1`].
    ///
    /// # Errors
    /// No stem lives in the plots.
    pub fn chao1(&self, confidence: f64) -> Finding<f64> {
        if self.pooled.is_empty() {
            return Err(Gap::NoLivingStem);
        }
        let chao = chao1(&numbers(&self.pooled));
        let (low, high) = chao.interval(quantile::normal(quantile::upper(confidence)));
        let met = |times| self.pooled.values().filter(|&&stems| stems == times).count();
        let mut estimate = Estimate::counted(chao.species, Method::CHAO1, self.sources.clone())
            .note(self.size())
            .note(format!("species met once: {}; met twice: {}", met(1), met(2)));
        if high > low {
            estimate.interval = Some(Interval { low, high, confidence });
        }
        Ok(estimate)
    }

    /// Species expected in `size` of the plots.
    ///
    /// # Equations and sources
    /// [`Method::RAREFIED`].
    ///
    /// # Errors
    /// There are fewer plots.
    pub fn rarefied(&self, size: usize) -> Finding<f64> {
        let mut held: PlotCounts<'_> = BTreeMap::new();
        for species in self.plots.iter().flat_map(BTreeMap::keys) {
            *held.entry(species).or_default() += 1;
        }
        let expected = rarefied(&numbers(&held), self.plots.len() as u64, size as u64);
        let value = expected.ok_or(Gap::TooFewPlots { have: self.plots.len(), need: size })?;
        Ok(Estimate::counted(value, Method::RAREFIED, self.sources.clone()).note(self.size()))
    }

    fn size(&self) -> String {
        let (plots, stems) = (self.plots.len(), self.pooled.values().sum());
        let (plot, stem) =
            (if plots == 1 { "plot" } else { "plots" }, if stems == 1 { "stem" } else { "stems" });
        format!("from {plots} {plot} with {} living {stem}", crate::units::whole(stems))
    }
}

fn living<'a>(visit: &Visit<'a>, species: &SpeciesList) -> PlotCounts<'a> {
    let mut counts = BTreeMap::new();
    for tally in &visit.tallies {
        let stems = tally.alive.0 + tally.recruits.map_or(0, |stems| stems.0);
        if stems > 0 && !species.is_group(&tally.species) {
            *counts.entry(&tally.species).or_default() += stems;
        }
    }
    counts
}

fn numbers(counts: &PlotCounts<'_>) -> Vec<u64> {
    counts.values().copied().collect()
}
