//! Dry mass of one plant, above the ground and below it.

use crate::{
    estimate::carbon::{
        equation::{Equation, Size},
        group::{Choice, Group},
        published::{self, LOOSE},
        roots::roots,
        tree::{BREAST_HEIGHT, Tree},
    },
    project::DiameterAt,
};

/// What one plant holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Biomass {
    /// Dry mass above the ground, kg.
    pub above: f64,
    /// Dry mass of the roots, kg.
    pub below: f64,
    /// Relative error that it shares with all plants of its equation.
    pub bias: f64,
    /// Standard deviation of its logarithm about the equation.
    pub sigma: f64,
    /// The equation.
    pub equation: &'static str,
    /// Whether its diameter was converted from another height on the stem.
    pub converted: bool,
    /// Whether its diameter lies outside what the equation was fitted to.
    pub outside: bool,
}

/// Why a living plant carries no carbon in the figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bare {
    /// It has no wood, or none that an equation speaks for.
    NotWoody,
    /// Thinner than 1 cm at the base: grams to tens of grams.
    Slight,
    /// Only its height is known, or the place of its diameter is not, and it is a seedling.
    NoDiameter,
    /// Only its height is known, and it is higher than a seedling: a diameter should be measured.
    Tall,
    /// Its equation wants a height, a density or a climate that is not known.
    Wanting,
}

/// Thinner than this at the base a plant counts as alive and carries nothing, cm.
pub(crate) const SLIGHT: f64 = 1.0;

/// Up to this height a plant without a diameter counts as alive and carries nothing, m.
const SEEDLING: f64 = 3.0;

/// Between these diameters at the base a conversion to breast height rests on measured plants, cm.
const CONVERTIBLE: (f64, f64) = (1.5, 50.0);

/// Dry mass of `tree`.
///
/// # Equations and sources
/// [`crate::estimate::Method::CARBON_ABOVE`] and [`crate::estimate::Method::CARBON_BELOW`].
///
/// # Errors
/// It carries nothing, for the reason given.
pub fn biomass(tree: &Tree<'_>, choice: Choice, stress: Option<f64>) -> Result<Biomass, Bare> {
    let group = choice.group;
    if group == Group::NotWoody {
        return Err(Bare::NotWoody);
    }
    let density = choice.wood.map(|wood| wood.density);
    let size = |diameter| Size { diameter, height: tree.height, density, stress };
    if let Group::Named(equation) = group
        && matches!(equation.shape, crate::estimate::carbon::equation::Shape::Height(..))
    {
        let above = equation.mass(size(1.0)).ok_or(Bare::Wanting)?;
        return Ok(whole(tree, group, equation, above, false));
    }
    let Some(measured) = measured(tree, group) else {
        let tall = tree.height.is_some_and(|height| height > SEEDLING);
        return Err(if tall { Bare::Tall } else { Bare::NoDiameter });
    };
    if measured.slight(tree) {
        return Err(Bare::Slight);
    }
    let above = measured.equation.mass(size(measured.diameter)).ok_or(Bare::Wanting)?;
    let outside = !measured.equation.holds(measured.diameter);
    let mut mass = whole(tree, group, measured.equation, above, outside);
    if measured.converted {
        mass.converted = true;
        mass.bias = mass.bias.max(LOOSE);
    }
    Ok(mass)
}

fn whole(tree: &Tree<'_>, group: Group, equation: &Equation, above: f64, outside: bool) -> Biomass {
    let mallee_or_shrub = matches!(group, Group::Shrub | Group::ManyStemmed);
    let base = match tree.breast {
        // A shrub measured at breast height has no measured base; its roots follow its shoots.
        Some(_) if tree.base.is_none() && mallee_or_shrub => None,
        _ => tree.base,
    };
    let low = tree.height.is_some_and(|height| height < BREAST_HEIGHT);
    let converted = |base: f64| (!low).then(|| group.breast_from_base(base));
    let breast = tree.breast.or(tree.base.and_then(converted));
    let below = roots(tree.species, group, above, base, breast);
    Biomass {
        above,
        below,
        bias: if outside { equation.bias.max(LOOSE) } else { equation.bias },
        sigma: equation.sigma,
        equation: equation.id,
        converted: false,
        outside,
    }
}

/// A diameter where its equation wants it.
struct Measured {
    equation: &'static Equation,
    diameter: f64,
    converted: bool,
}

impl Measured {
    fn slight(&self, tree: &Tree<'_>) -> bool {
        tree.base.is_some_and(|base| base < SLIGHT)
            || (tree.base.is_none() && self.equation.at == DiameterAt::Base && self.diameter < SLIGHT)
    }
}

/// The diameter and the equation for it: measured where the equation wants it, else a sapling's own equation, else converted.
fn measured(tree: &Tree<'_>, group: Group) -> Option<Measured> {
    let as_is = |equation, diameter| Measured { equation, diameter, converted: false };
    let (at_base, at_breast) = group.equations();
    if let (Some(equation), Some(breast)) = (at_breast, tree.breast) {
        return Some(as_is(equation, breast));
    }
    if let (Some(equation), Some(base)) = (at_base, tree.base) {
        return Some(as_is(equation, base));
    }
    let low = tree.height.is_some_and(|height| height < BREAST_HEIGHT);
    match (tree.base, tree.breast, at_breast) {
        (Some(base), _, _) if low || base < CONVERTIBLE.0 => Some(as_is(group.sapling()?, base)),
        (Some(base), _, Some(equation)) => {
            Some(Measured { equation, diameter: group.breast_from_base(base), converted: true })
        }
        // A wattle measured at breast height alone: the group of dense wood gives less than a converted diameter.
        (None, Some(breast), _) if group == Group::ManyStemmed => Some(as_is(&published::DENSE, breast)),
        (None, Some(breast), _) => {
            let equation = at_base?;
            Some(Measured { equation, diameter: group.base_from_breast(breast), converted: true })
        }
        _ => None,
    }
}
