//! Measured stems, put together as trees.

use crate::{
    project::{self, DiameterAt, PlotId, SpeciesId, Stem, StemStatus},
    source::Row,
};

/// A living plant as it was measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Tree<'a> {
    /// Its plot.
    pub plot: &'a PlotId,
    /// Its species.
    pub species: &'a SpeciesId,
    /// Diameter 10 cm above the ground, cm; of several stems the equivalent one.
    pub base: Option<f64>,
    /// Diameter at breast height, cm; of several stems the equivalent one.
    pub breast: Option<f64>,
    /// Height of its tallest stem, m.
    pub height: Option<f64>,
    /// Whether a diameter was left out because its height on the stem is not known.
    pub unplaced: bool,
    /// The rows that say so.
    pub rows: Vec<&'a Row>,
}

/// Breast height, m.
pub(crate) const BREAST_HEIGHT: f64 = 1.3;

/// Diameter of the single stem with as much basal area as all `stems`: √Σ d².
///
/// # Reference
/// The rule of Paul et al. (2016), *Global Change Biology* 22:2106-2124, for plants that branch below the height of measurement.
#[must_use]
pub fn equivalent_diameter(stems: &[f64]) -> f64 {
    stems.iter().map(|d| d * d).sum::<f64>().sqrt()
}

/// The living plants among `stems`.
#[must_use]
pub fn trees<'a>(stems: impl Iterator<Item = &'a Stem>) -> Vec<Tree<'a>> {
    let living = stems.filter(|stem| stem.status == StemStatus::Alive);
    project::trees(living).into_iter().filter_map(|stems| Tree::of(&stems)).collect()
}

impl<'a> Tree<'a> {
    fn of(stems: &[&'a Stem]) -> Option<Tree<'a>> {
        let first = stems.first()?;
        let mut tree = Tree {
            plot: &first.plot,
            species: &first.species,
            base: None,
            breast: None,
            height: None,
            unplaced: false,
            rows: Vec::new(),
        };
        stems.iter().for_each(|stem| tree.join(stem));
        Some(tree)
    }

    fn join(&mut self, stem: &'a Stem) {
        self.rows.push(&stem.source);
        let height = stem.height.map(|height| height.0);
        self.height = match (self.height, height) {
            (Some(one), Some(other)) => Some(one.max(other)),
            (one, other) => one.or(other),
        };
        let Some(cm) = stem.diameter_mm.map(|mm| mm / 10.0).filter(|&cm| cm > 0.0) else { return };
        // A diameter without its place on the stem is breast-high where the stem reaches there.
        let at =
            stem.diameter_at.or(height
                .map(|height| if height > BREAST_HEIGHT { DiameterAt::Breast } else { DiameterAt::Base }));
        let place = match at {
            Some(DiameterAt::Base) => &mut self.base,
            Some(DiameterAt::Breast) => &mut self.breast,
            None => {
                self.unplaced = true;
                return;
            }
        };
        *place = Some(place.map_or(cm, |before| equivalent_diameter(&[before, cm])));
    }
}
