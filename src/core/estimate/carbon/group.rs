//! Which equation speaks for a species.

use crate::{
    estimate::carbon::{
        equation::Equation,
        published::{self, named},
        wood::{Wood, genus, wood},
    },
    project::{Form, SpeciesId, SpeciesList},
};

/// Plants that share their equations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Group {
    /// No wood: grass, forb, fern, vine, palm, sedge.
    NotWoody,
    /// Shrubs.
    Shrub,
    /// Wattles that are trees, and mallees.
    ManyStemmed,
    /// Eucalypts with one stem.
    Eucalypt,
    /// Other trees with dense wood.
    Dense,
    /// Other trees with light wood.
    Light,
    /// Nothing is known of the plant.
    Unknown,
    /// An equation that the species table asks for by name.
    Named(&'static Equation),
}

/// A group, and the wood density where the choice or the equation rests on one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Choice {
    /// The group.
    pub group: Group,
    /// The density that was used.
    pub wood: Option<Wood>,
    /// Whether the species table asks for an equation that is not known.
    pub misnamed: bool,
}

/// A wattle lower than this when grown is a shrub, m (project rule).
const SHRUB_HEIGHT: f64 = 4.0;

/// Wood below this is light, g/cm³: the light group of Paul et al. (2016) holds conifers of mean density 0.40 only, and light
/// hardwoods are put with them because that gives less (project rule).
const LIGHT_WOOD: f64 = 0.40;

/// The group of `id`: what the species table says, else by its form, genus, family and wood.
#[must_use]
pub fn group(list: &SpeciesList, id: &SpeciesId) -> Choice {
    let Some(species) = list.get(id) else {
        return Choice { group: Group::Unknown, wood: None, misnamed: false };
    };
    let named = species.allometry.as_deref().map(asked);
    let misnamed = named == Some(None);
    let plain = |group| Choice { group, wood: None, misnamed };
    if species.form.is_some_and(|form| !matches!(form, Form::Tree | Form::Shrub | Form::Other)) {
        return plain(Group::NotWoody);
    }
    if let Some(asked) = named.flatten() {
        let wants = matches!(asked, Group::Named(equation) if equation.wants_density());
        return Choice { group: asked, wood: wants.then(|| wood(list, id)), misnamed };
    }
    let low = species.mature_height.is_some_and(|height| height < SHRUB_HEIGHT);
    match (genus(id), species.family.as_deref(), species.form) {
        ("Eucalyptus" | "Corymbia" | "Angophora", ..) => plain(Group::Eucalypt),
        ("Acacia", ..) if low => plain(Group::Shrub),
        ("Acacia", ..) => plain(Group::ManyStemmed),
        (_, Some("Araucariaceae" | "Podocarpaceae" | "Pinaceae"), _) => plain(Group::Light),
        (_, _, Some(Form::Shrub)) => plain(Group::Shrub),
        (_, _, Some(Form::Tree)) => {
            let wood = wood(list, id);
            let group = if wood.density < LIGHT_WOOD { Group::Light } else { Group::Dense };
            Choice { group, wood: Some(wood), misnamed }
        }
        _ => plain(Group::Unknown),
    }
}

/// The group or equation that an `allometry` cell asks for.
fn asked(name: &str) -> Option<Group> {
    let name = name.trim();
    Some(match name {
        "none" => Group::NotWoody,
        "shrub_d10" => Group::Shrub,
        "multi_d10" => Group::ManyStemmed,
        "euc_d130" => Group::Eucalypt,
        "other_high_d130" => Group::Dense,
        "other_low_d130" => Group::Light,
        _ => Group::Named(named(name)?),
    })
}

impl Group {
    /// Its equations for a diameter at the base and at breast height; `None` where it has none for that height.
    #[must_use]
    pub fn equations(self) -> (Option<&'static Equation>, Option<&'static Equation>) {
        const fn some(equation: &'static Equation) -> Option<&'static Equation> {
            Some(equation)
        }
        match self {
            Group::NotWoody => (None, None),
            Group::Shrub => (some(&published::SHRUB), None),
            Group::ManyStemmed => (some(&published::MANY_STEMMED), None),
            Group::Eucalypt => (None, some(&published::EUCALYPT)),
            Group::Dense => (None, some(&published::DENSE)),
            Group::Light => (None, some(&published::LIGHT)),
            Group::Unknown => (some(&published::ANY_BASE), some(&published::ANY_BREAST)),
            Group::Named(equation) => match equation.at {
                crate::project::DiameterAt::Base => (Some(equation), None),
                crate::project::DiameterAt::Breast => (None, Some(equation)),
            },
        }
    }

    /// Its equation for a sapling too low for a breast-high diameter.
    #[must_use]
    pub fn sapling(self) -> Option<&'static Equation> {
        match self {
            Group::Eucalypt => Some(&published::EUCALYPT_SAPLING),
            Group::Dense | Group::Light => Some(&published::OTHER_SAPLING),
            Group::Shrub | Group::ManyStemmed | Group::Unknown => self.equations().0,
            Group::NotWoody | Group::Named(_) => None,
        }
    }

    /// ln D₁₃₀ = p + q ln D₁₀: fitted to the plants of the Australian Tree Biomass Library, version 4, that were measured at both
    /// heights; between 1.5 and 50 cm at the base.
    fn taper(self) -> (f64, f64) {
        match self {
            Group::Eucalypt => (-0.623, 1.110),
            Group::ManyStemmed => (-0.455, 1.076),
            Group::Dense => (-0.666, 1.152),
            Group::Shrub => (-0.461, 1.063),
            Group::NotWoody | Group::Light | Group::Unknown | Group::Named(_) => (-0.563, 1.097),
        }
    }

    /// Breast-high diameter of a stem that was measured at the base, cm.
    #[must_use]
    pub fn breast_from_base(self, base: f64) -> f64 {
        let (p, q) = self.taper();
        libm::exp(p + q * libm::log(base))
    }

    /// Diameter at the base of a stem that was measured at breast height, cm.
    #[must_use]
    pub fn base_from_breast(self, breast: f64) -> f64 {
        let (p, q) = self.taper();
        libm::exp((libm::log(breast) - p) / q)
    }
}
