//! The dry mass of one plot.

use std::collections::BTreeSet;

use crate::{
    estimate::carbon::{
        biomass::{Bare, Biomass, biomass},
        group::Choice,
        tree::Tree,
        wood::Level,
    },
    project::{Plot, SpeciesId},
    source::Row,
};

/// The dry mass of one plot.
#[derive(Debug, Clone, PartialEq)]
pub struct PlotMass<'a> {
    /// The plot.
    pub plot: &'a Plot,
    /// Its plan hectares.
    pub hectares: f64,
    /// Dry mass above the ground, t.
    pub above: f64,
    /// Dry mass of the roots, t.
    pub below: f64,
    /// Σ mass × shared relative error of its equation, t.
    pub leaning: f64,
    /// Variance of the mass from how single plants stray from their equation, t².
    pub scatter: f64,
    /// The rows that say so.
    pub rows: Vec<&'a Row>,
    /// How its plants were taken.
    pub taken: Taken<'a>,
}

/// How plants were taken, to be said beside the figure.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Taken<'a> {
    /// Plants with a mass.
    pub weighed: u64,
    /// Living stems that were counted beyond those measured, each taken for the mean of its species.
    pub counted: u64,
    /// Plants that carry nothing, being seedlings.
    pub seedlings: u64,
    /// Plants left out because a diameter, a height or a density is wanting.
    pub wanting: u64,
    /// Counted stems of species of which no plant was measured.
    pub unmeasured: u64,
    /// Plants with a diameter converted from another height.
    pub converted: u64,
    /// Plants outside the diameters that their equation was fitted to.
    pub outside: u64,
    /// Mass of those above the ground, t.
    pub outside_mass: f64,
    /// The equations used.
    pub equations: BTreeSet<&'static str>,
    /// Species whose wood density mattered, by what it was measured on.
    pub wood: BTreeSet<(Level, &'a SpeciesId)>,
    /// Species for which an equation was asked that is not known.
    pub misnamed: BTreeSet<&'a SpeciesId>,
}

/// The measured plants of one species, in one plot or in all.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Kind<'a> {
    masses: Vec<Biomass>,
    seedlings: u64,
    wanting: u64,
    rows: Vec<&'a Row>,
}

impl<'a> Kind<'a> {
    /// Adds a plant.
    pub(crate) fn add(&mut self, tree: Tree<'a>, choice: Choice, stress: Option<f64>) {
        match biomass(&tree, choice, stress) {
            Ok(mass) => self.masses.push(mass),
            // A plant without wood carries nothing, as a seedling does.
            Err(Bare::NotWoody | Bare::Slight) => self.seedlings += 1,
            Err(Bare::NoDiameter) if !tree.unplaced => self.seedlings += 1,
            Err(Bare::NoDiameter | Bare::Tall | Bare::Wanting) => self.wanting += 1,
        }
        self.rows.extend(tree.rows);
    }

    /// Adds the plants of another plot.
    pub(crate) fn join(&mut self, other: &Kind<'a>) {
        self.masses.extend(&other.masses);
        self.seedlings += other.seedlings;
        self.wanting += other.wanting;
    }

    /// Plants of which it is known what they carry, be it nothing.
    fn known(&self) -> u64 {
        self.masses.len() as u64 + self.seedlings
    }

    /// Whether a diameter gave one of them a mass.
    #[must_use]
    pub(crate) fn weighed(&self) -> bool {
        !self.masses.is_empty()
    }
}

/// Kilograms in a tonne.
const KILOGRAMS: f64 = 1000.0;

impl<'a> PlotMass<'a> {
    /// A plot with nothing on it.
    #[must_use]
    pub fn empty(plot: &'a Plot, hectares: f64) -> PlotMass<'a> {
        PlotMass {
            plot,
            hectares,
            above: 0.0,
            below: 0.0,
            leaning: 0.0,
            scatter: 0.0,
            rows: vec![&plot.source],
            taken: Taken::default(),
        }
    }

    /// Adds a species: the plants measured in the plot, and how many of it were counted alive there. Stems beyond the measured
    /// ones count as their mean; where none was measured, as the mean of `elsewhere`.
    pub(crate) fn add(&mut self, measured: Option<&Kind<'a>>, alive: u64, elsewhere: Option<&Kind<'a>>) {
        if let Some(measured) = measured {
            self.rows.extend(&measured.rows);
            self.taken.weighed += measured.masses.len() as u64;
            self.taken.seedlings += measured.seedlings;
            self.taken.wanting += measured.wanting;
            self.taken.converted += measured.masses.iter().filter(|mass| mass.converted).count() as u64;
            self.taken.equations.extend(measured.masses.iter().map(|mass| mass.equation));
            for mass in measured.masses.iter().filter(|mass| mass.outside) {
                self.taken.outside += 1;
                self.taken.outside_mass += mass.above / KILOGRAMS;
            }
        }
        let known = measured.map_or(0, Kind::known);
        let stands_for = if known > 0 { measured } else { elsewhere };
        let Some(kind) = stands_for.filter(|kind| kind.known() > 0) else {
            self.taken.unmeasured += alive.saturating_sub(measured.map_or(0, |kind| kind.wanting));
            return;
        };
        self.taken.counted += alive.saturating_sub(known);
        self.weigh(kind, alive.max(known));
    }

    /// Adds `plants` plants that are on average as those of `kind`.
    #[allow(clippy::cast_precision_loss, reason = "no plot holds 2^53 stems")]
    fn weigh(&mut self, kind: &Kind<'_>, plants: u64) {
        let each = plants as f64 / kind.known() as f64 / KILOGRAMS;
        for mass in &kind.masses {
            let above = mass.above * each;
            self.above += above;
            self.below += mass.below * each;
            self.leaning += above * mass.bias;
            self.scatter += above * above * (libm::exp(mass.sigma * mass.sigma) - 1.0);
        }
    }

    /// What the plot gained since `earlier`: its masses less those of then. A plant that strays from its equation does so in both
    /// surveys, so scatter shrinks with the gain.
    #[must_use]
    pub fn since(&self, earlier: &PlotMass<'a>) -> PlotMass<'a> {
        let mut gain = self.clone();
        gain.above -= earlier.above;
        gain.below -= earlier.below;
        gain.leaning -= earlier.leaning;
        let part = if self.above > 0.0 { gain.above / self.above } else { 1.0 };
        gain.scatter *= part * part;
        gain.rows.extend(&earlier.rows);
        gain
    }
}

/// How the plants of several plots were taken.
#[must_use]
pub(crate) fn taken<'a>(plots: &[&PlotMass<'a>]) -> Taken<'a> {
    let mut all = Taken::default();
    for plot in plots {
        let one = &plot.taken;
        all.weighed += one.weighed;
        all.counted += one.counted;
        all.seedlings += one.seedlings;
        all.wanting += one.wanting;
        all.unmeasured += one.unmeasured;
        all.converted += one.converted;
        all.outside += one.outside;
        all.outside_mass += one.outside_mass;
        all.equations.extend(&one.equations);
        all.wood.extend(&one.wood);
        all.misnamed.extend(&one.misnamed);
    }
    all
}
