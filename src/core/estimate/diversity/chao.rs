//! How many species a larger survey would find at the least.

use crate::estimate::diversity::indices::{number, richness};

/// Chao's lower bound of the number of species.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chao1 {
    /// The estimate.
    pub species: f64,
    /// Its standard error.
    pub error: f64,
    observed: f64,
}

impl Chao1 {
    /// Interval on the logarithm of the unseen species, `z` standard normal deviates wide on each side. It never reaches
    /// below what was seen.
    ///
    /// # Reference
    /// Chao (1987), *Biometrics* 43:783-791.
    #[must_use]
    pub fn interval(&self, z: f64) -> (f64, f64) {
        let unseen = self.species - self.observed;
        if unseen <= 0.0 {
            return (self.observed, self.observed);
        }
        let ratio = self.error / unseen;
        let k = libm::exp(z * libm::sqrt(libm::log(1.0 + ratio * ratio)));
        (self.observed + unseen / k, self.observed + unseen * k)
    }
}

/// Chao's estimator in its bias-corrected form: `S + f₁(f₁ − 1) / (2(f₂ + 1))`, with `f₁` species met once and `f₂` twice.
/// It is finite where no species was met twice. The standard error is by the delta method.
///
/// # Reference
/// Chao (1984), *Scand. J. Stat.* 11:265-270; variance as in O'Hara (2005), *J. Anim. Ecol.* 74:375-386.
#[must_use]
pub fn chao1(counts: &[u64]) -> Chao1 {
    let met = |times: u64| number(counts.iter().filter(|&&count| count == times).count());
    let (once, twice, observed) = (met(1), met(2), number(richness(counts)));
    let species = observed + once * (once - 1.0) / (2.0 * (twice + 1.0));
    let slope_once = 1.0 + (2.0 * once - 1.0) / (2.0 * (twice + 1.0));
    let slope_twice = 1.0 - once * (once - 1.0) / (2.0 * (twice + 1.0) * (twice + 1.0));
    let often = observed - once - twice;
    let sum = slope_once * once + slope_twice * twice + often;
    let variance = slope_once * slope_once * once + slope_twice * slope_twice * twice + often
        - if species > 0.0 { sum * sum / species } else { 0.0 };
    Chao1 { species, error: libm::sqrt(variance.max(0.0)), observed }
}
