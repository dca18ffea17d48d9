//! Measured stems, put together as trees.

use crate::{
    project::{DiameterAt, PlotId, SpeciesId, Stem, StemStatus},
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
    tag: Option<&'a str>,
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

/// The living plants among `stems`. Rows of one tag are stems of one plant; a second or further stem without a tag belongs to the
/// plant of its species in the row above.
#[must_use]
pub fn trees<'a>(stems: impl Iterator<Item = &'a Stem>) -> Vec<Tree<'a>> {
    let mut trees: Vec<Tree<'a>> = Vec::new();
    let mut tagged = std::collections::BTreeMap::new();
    for stem in stems.filter(|stem| stem.status == StemStatus::Alive) {
        let own = match &stem.tag {
            Some(tag) => {
                let new = trees.len();
                Some(*tagged.entry((&stem.plot, &stem.species, tag.as_str())).or_insert(new))
            }
            None if stem.stem.is_some_and(|number| number > 1) => trees
                .iter()
                .rposition(|tree| tree.plot == &stem.plot && tree.species == &stem.species)
                .filter(|&at| trees[at].tag.is_none()),
            None => None,
        };
        match own.and_then(|at| trees.get_mut(at)) {
            Some(tree) => tree.join(stem),
            None => trees.push(Tree::of(stem)),
        }
    }
    trees
}

impl<'a> Tree<'a> {
    fn of(stem: &'a Stem) -> Tree<'a> {
        let mut tree = Tree {
            plot: &stem.plot,
            species: &stem.species,
            base: None,
            breast: None,
            height: None,
            unplaced: false,
            rows: Vec::new(),
            tag: stem.tag.as_deref(),
        };
        tree.join(stem);
        tree
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
