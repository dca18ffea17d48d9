//! The density of a species' wood, and how near to the species it was measured.

use crate::project::{Species, SpeciesId, SpeciesList};

/// What a density was measured on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// The species itself.
    Species,
    /// Others of its genus.
    Genus,
    /// Others of its family.
    Family,
    /// Nothing akin: a middling value.
    Default,
}

impl Level {
    /// The level in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Level::Species => "the species",
            Level::Genus => "the mean of its genus",
            Level::Family => "the mean of its family",
            Level::Default => "a middling value",
        }
    }
}

/// A basic density of wood, oven-dry mass over green volume.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wood {
    /// g/cm³.
    pub density: f64,
    /// What it was measured on.
    pub level: Level,
}

/// Taken where nothing akin is known, g/cm³: near the middle of the world's woods (Zanne et al. 2009, *Global Wood Density
/// Database*, doi 10.5061/dryad.234).
const MIDDLING: f64 = 0.60;

/// The density of `id`: its own, else the mean of its genus in `list`, else of its family, else a middling one.
#[must_use]
pub fn wood(list: &SpeciesList, id: &SpeciesId) -> Wood {
    let own = list.get(id);
    if let Some(density) = own.and_then(|species| species.wood_density) {
        return Wood { density, level: Level::Species };
    }
    let akin = |holds: &dyn Fn(&Species) -> bool| {
        let known: Vec<f64> =
            list.iter().filter(|species| holds(species)).filter_map(|species| species.wood_density).collect();
        (!known.is_empty()).then(|| known.iter().sum::<f64>() / crate::estimate::ratio::count(known.len()))
    };
    let family = own.and_then(|species| species.family.as_deref());
    let of_genus = akin(&|species| genus(&species.id) == genus(id));
    let of_family = || akin(&|species| family.is_some() && species.family.as_deref() == family);
    match (of_genus, of_family()) {
        (Some(density), _) => Wood { density, level: Level::Genus },
        (None, Some(density)) => Wood { density, level: Level::Family },
        (None, None) => Wood { density: MIDDLING, level: Level::Default },
    }
}

/// The first word of a scientific name.
#[must_use]
pub(crate) fn genus(id: &SpeciesId) -> &str {
    id.0.split_whitespace().next().unwrap_or_default()
}
