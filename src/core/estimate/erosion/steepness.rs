//! S, the factor of steepness, and the exponent of slope length.

use crate::units::{Degrees, PercentSlope};

/// The steepest slope for which soil loss was measured, per cent: steeper ground counts as this (Liu, Nearing and Risse 1994).
pub const STEEPEST_PERCENT: f64 = 55.0;

/// Sine of the slope of the unit plot, 9 %.
pub(crate) const UNIT_PLOT_SINE: f64 = 0.0896;

/// How much of the loss is by rills rather than by drops between them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Rill {
    /// Ground under grass or trees.
    #[default]
    Low,
    /// Ground freshly ripped, scalped or sprayed out.
    Moderate,
    /// Freshly disturbed ground that rills readily.
    High,
}

impl Rill {
    /// Factor of the ratio of rill to interrill erosion: AH-703, pp. 105-106.
    fn factor(self) -> f64 {
        match self {
            Rill::Low => 0.5,
            Rill::Moderate => 1.0,
            Rill::High => 2.0,
        }
    }
}

/// The relation between slope and soil loss.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Steepness {
    /// One curve over the whole range: Nearing (1997), *A single, continuous function for slope steepness influence on soil
    /// loss*, Soil Science Society of America Journal 61:917-919. S = −1.5 + 17 / (1 + exp(2.3 − 6.1 sin θ)).
    #[default]
    Nearing,
    /// As in the tables of AH-703, eqs. 4-4 and 4-5: McCool et al. (1987), Transactions of the ASAE 30:1387-1396. S = 10.8
    /// sin θ + 0.03 below 9 %, 16.8 sin θ − 0.50 from there.
    McCool,
    /// Liu, Nearing and Risse (1994), *Slope gradient effects on soil loss for steep slopes*, Transactions of the ASAE
    /// 37:1835-1840: slopes of 9 to 55 %. S = 21.91 sin θ − 0.96. For comparison only.
    Liu,
}

impl Steepness {
    /// S at `slope`.
    #[must_use]
    pub fn factor(self, slope: Degrees) -> f64 {
        let sine = slope.sin();
        match self {
            Steepness::Nearing => -1.5 + 17.0 / (1.0 + libm::exp(2.3 - 6.1 * sine)),
            Steepness::McCool if PercentSlope::from(slope).0 < 9.0 => 10.8 * sine + 0.03,
            Steepness::McCool => 16.8 * sine - 0.50,
            Steepness::Liu => 21.91 * sine - 0.96,
        }
    }
}

/// S of slopes shorter than 4.57 m, where drops do all the work.
///
/// # Equation
/// S = 3.0 sin^0.8 θ + 0.56: AH-703, eq. 4-6.
#[must_use]
pub fn short_steepness(slope: Degrees) -> f64 {
    3.0 * libm::pow(slope.sin(), 0.8) + 0.56
}

/// Exponent of slope length.
///
/// # Equation
/// m = β / (1 + β), β = f (sin θ / 0.0896) / (3 sin^0.8 θ + 0.56), f = 0.5, 1 or 2 for few, some or many rills: AH-703, eqs.
/// 4-2 and 4-3, pp. 105-106.
#[must_use]
pub fn exponent(slope: Degrees, rill: Rill) -> f64 {
    let sine = slope.sin().max(0.0);
    let beta = rill.factor() * (sine / UNIT_PLOT_SINE) / (3.0 * libm::pow(sine, 0.8) + 0.56);
    beta / (1.0 + beta)
}

/// `slope`, no steeper than what was measured.
#[must_use]
pub fn clamped(slope: Degrees) -> Degrees {
    let steepest = Degrees::from(PercentSlope(STEEPEST_PERCENT));
    Degrees(slope.0.min(steepest.0))
}
