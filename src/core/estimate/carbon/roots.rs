//! What lies below the ground.

use crate::{
    estimate::carbon::{
        equation::{Equation, Size},
        group::Group,
        published::{ROOT_MALLEE, ROOT_RADIATA, ROOT_SHRUB, ROOT_TREE},
        wood::genus,
    },
    project::SpeciesId,
};

/// Relative standard error of the roots of a stand: half of ±40 % at 95 %, the spread of ratios within a class of the IPCC's
/// table 4.4 (judgement where roots come plant by plant).
pub(crate) const ROOT_ERROR: f64 = 0.20;

/// Roots over shoots where nothing better is known: the default of the CDM's afforestation tool 14.
const DEFAULT_RATIO: f64 = 0.25;

/// Σ roots / Σ shoots of 295 excavated shrubs and wattles of the Australian Tree Biomass Library, version 4.
pub(crate) const SHRUB_RATIO: f64 = 0.315;

/// Σ roots / Σ shoots of 530 excavated single-stemmed trees of the same library.
pub(crate) const TREE_RATIO: f64 = 0.293;

/// Dry mass of the roots of one plant, kg, with `above` kg above the ground and the diameters that are known, cm.
#[must_use]
pub fn roots(species: &SpeciesId, group: Group, above: f64, base: Option<f64>, breast: Option<f64>) -> f64 {
    let by = |equation: &Equation, diameter: Option<f64>| {
        equation.mass(Size { diameter: diameter?, ..Size::default() })
    };
    let eucalypt = matches!(genus(species), "Eucalyptus" | "Corymbia" | "Angophora");
    match group {
        Group::NotWoody => 0.0,
        Group::ManyStemmed if eucalypt => by(&ROOT_MALLEE, base).unwrap_or(SHRUB_RATIO * above),
        Group::Shrub | Group::ManyStemmed => by(&ROOT_SHRUB, base).unwrap_or(SHRUB_RATIO * above),
        Group::Light if &*species.0 == "Pinus radiata" => {
            by(&ROOT_RADIATA, breast).unwrap_or(TREE_RATIO * above)
        }
        Group::Eucalypt | Group::Dense | Group::Light | Group::Unknown => {
            by(&ROOT_TREE, breast).unwrap_or(TREE_RATIO * above)
        }
        Group::Named(_) => DEFAULT_RATIO * above,
    }
}

/// Roots of a stand by Cairns et al. (1997), *Oecologia* 111:1-11: exp(−1.0587 + 0.8836 ln A), t/ha from `above` t/ha.
#[must_use]
pub fn cairns(above: f64) -> f64 {
    libm::exp(-1.0587 + 0.8836 * libm::log(above))
}

/// Roots of a stand by Mokany et al. (2006), *Global Change Biology* 12:84-96: 0.489 A^0.890, t/ha from `above` t/ha.
#[must_use]
pub fn mokany(above: f64) -> f64 {
    0.489 * libm::pow(above, 0.890)
}

/// A class of the IPCC's table of root-to-shoot ratios.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RatioClass {
    /// Ecological zone, with the kind of forest where the table tells them apart.
    pub zone: &'static str,
    /// Dry mass above the ground up to which it holds, t/ha.
    pub to: f64,
    /// Roots over shoots.
    pub ratio: f64,
}

const fn class(zone: &'static str, to: f64, ratio: f64) -> RatioClass {
    RatioClass { zone, to, ratio }
}

const MORE: f64 = f64::INFINITY;

/// Roots over shoots by zone and mass: IPCC (2006), *Guidelines for National Greenhouse Gas Inventories*, volume 4, table 4.4;
/// the subtropical steppe's and the lower subtropical humid ratio stand as remembered.
pub const RATIOS: [RatioClass; 23] = [
    class("tropical rainforest", MORE, 0.37),
    class("tropical moist deciduous", 125.0, 0.20),
    class("tropical moist deciduous", MORE, 0.24),
    class("tropical dry", 20.0, 0.56),
    class("tropical dry", MORE, 0.28),
    class("tropical shrubland", MORE, 0.40),
    class("tropical mountain", MORE, 0.27),
    class("subtropical humid", 125.0, 0.20),
    class("subtropical humid", MORE, 0.24),
    class("subtropical dry", 20.0, 0.56),
    class("subtropical dry", MORE, 0.28),
    class("subtropical steppe", MORE, 0.32),
    class("temperate conifer", 50.0, 0.40),
    class("temperate conifer", 150.0, 0.29),
    class("temperate conifer", MORE, 0.20),
    class("temperate eucalypt", 50.0, 0.44),
    class("temperate eucalypt", 150.0, 0.28),
    class("temperate eucalypt", MORE, 0.20),
    class("temperate broadleaf", 75.0, 0.46),
    class("temperate broadleaf", 150.0, 0.23),
    class("temperate broadleaf", MORE, 0.24),
    class("boreal", 75.0, 0.39),
    class("boreal", MORE, 0.24),
];

/// The ratio for a `zone` and a mass above the ground; a mass at a break takes the lower class.
#[must_use]
pub fn ratio_of_zone(zone: &str, above: f64) -> Option<f64> {
    RATIOS.iter().find(|class| class.zone == zone && above <= class.to).map(|class| class.ratio)
}
