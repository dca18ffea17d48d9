//! Estimates of several sites added up, with their intervals joined.

use crate::estimate::{Interval, interval::quantile};

/// One site's estimate, and the weight with which it enters the sum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// The estimate.
    pub value: f64,
    /// Its interval; `None` where it is a count, a census, or nothing is said of its error.
    pub interval: Option<Interval<f64>>,
    /// What it is multiplied by; may be less than nothing.
    pub weight: f64,
    /// How much of its error it shares with the others.
    pub shared: Shared,
}

/// The part of an error that comes from what all sites have in common: the same equations, the same ratios, the same factors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shared {
    /// Nothing: the error is of the site's own plots.
    Nothing,
    /// A relative standard error of an additive kind, such as 0.13 of the value.
    Relative(f64),
    /// The standard error of the logarithm of a factor that the value is proportional to.
    Factor(f64),
    /// Nobody says how much, so all of it: the sum is then no surer than its parts.
    All,
}

/// A sum of estimates.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joined {
    /// The sum.
    pub value: f64,
    /// Its interval; `None` where no part has one.
    pub interval: Option<Interval<f64>>,
}

/// Distances from a value down to the lower and up to the upper end of its interval.
#[derive(Debug, Clone, Copy, Default)]
struct Reach {
    down: f64,
    up: f64,
}

/// Σ wᵢ θᵢ with an interval that holds `confidence`.
///
/// The distance from each estimate to each end of its own interval stands for its standard error on that side, in whatever
/// scale the interval was made; it is stretched by the normal quantile where its confidence is another. Errors of the sites' own
/// are independent and add up by their squares; shared errors pull all sites the same way and add up as they are. A single part
/// keeps its interval.
///
/// # Equation
/// L = Σ wθ − √(Σ own² + (Σ shared)²), the distances taken towards the lower end of each w θ; U likewise; own² = distance² −
/// shared². Shared distance: z r |θ| for a relative error r, |θ| (1 − e^−zσ) down and |θ| (e^zσ − 1) up for a factor, no more
/// than the whole distance.
///
/// # Assumption
/// What sites share is shared wholly: where one used other equations than its neighbour, the sum is surer than it says.
///
/// # Reference
/// Zou & Donner (2008), *Statistics in Medicine* 27:1693-1702; Zou, Huang & Zhang (2009), *Computational Statistics & Data
/// Analysis* 53:1080-1085; of shared errors, JCGM 100:2008, 5.2.2.
#[must_use]
pub fn joined(parts: &[Part], confidence: f64) -> Joined {
    let value = parts.iter().map(|part| part.weight * part.value).sum();
    let uncertain = || parts.iter().filter(|part| part.interval.is_some());
    if uncertain().next().is_none() {
        return Joined { value, interval: None };
    }
    let z = quantile::normal(quantile::upper(confidence));
    let (mut own, mut all_fallen, mut all_risen) = (Reach::default(), 0.0, 0.0);
    for part in uncertain() {
        let whole = part.reach(z);
        // What the common cause moves the part by when it errs to the one side, and when it errs to the other.
        let (fallen, risen) = part.shared_ends(z, whole);
        (all_fallen, all_risen) = (all_fallen + fallen, all_risen + risen);
        let (down, up) = (fallen.min(risen).min(0.0), fallen.max(risen).max(0.0));
        own.down += (whole.down * whole.down - down * down).max(0.0);
        own.up += (whole.up * whole.up - up * up).max(0.0);
    }
    let (down, up) = (all_fallen.min(all_risen).min(0.0), all_fallen.max(all_risen).max(0.0));
    let low = value - (own.down + down * down).sqrt();
    let high = value + (own.up + up * up).sqrt();
    Joined { value, interval: Some(Interval { low, high, confidence }) }
}

impl Part {
    /// How far `weight` × value reaches, at the confidence whose normal quantile is `z`.
    fn reach(&self, z: f64) -> Reach {
        let Some(interval) = self.interval else { return Reach::default() };
        let stretch = z / quantile::normal(quantile::upper(interval.confidence)) * self.weight.abs();
        let (down, up) = ((self.value - interval.low).max(0.0), (interval.high - self.value).max(0.0));
        let (down, up) = (down * stretch, up * stretch);
        if self.weight < 0.0 { Reach { down: up, up: down } } else { Reach { down, up } }
    }

    /// By how much the common cause moves the part, when it errs down and when it errs up; never beyond the part's own ends.
    fn shared_ends(&self, z: f64, whole: Reach) -> (f64, f64) {
        let weighted = self.weight * self.value;
        let (fallen, risen) = match self.shared {
            Shared::Nothing => (0.0, 0.0),
            Shared::Relative(error) => (-z * error * weighted, z * error * weighted),
            Shared::Factor(sigma) => {
                (weighted * (libm::exp(-z * sigma) - 1.0), weighted * (libm::exp(z * sigma) - 1.0))
            }
            Shared::All => (-whole.down, whole.up),
        };
        (fallen.clamp(-whole.down, whole.up), risen.clamp(-whole.down, whole.up))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part(value: f64, low: f64, high: f64, shared: Shared) -> Part {
        Part { value, interval: Some(Interval { low, high, confidence: 0.90 }), weight: 1.0, shared }
    }

    #[test]
    fn a_single_part_keeps_its_interval_whatever_it_shares() {
        for shared in
            [Shared::Nothing, Shared::Relative(0.05), Shared::Relative(9.0), Shared::Factor(0.1), Shared::All]
        {
            let joined = joined(&[part(10.0, 7.0, 15.0, shared)], 0.90);
            let interval = joined.interval.unwrap();
            assert!((interval.low - 7.0).abs() < 1e-12 && (interval.high - 15.0).abs() < 1e-12, "{shared:?}");
        }
    }

    #[test]
    fn counts_have_no_interval_and_add_no_error() {
        let count = Part { value: 5.0, interval: None, weight: 1.0, shared: Shared::All };
        assert_eq!(joined(&[count, count], 0.90), Joined { value: 10.0, interval: None });
        let both = joined(&[count, part(10.0, 7.0, 15.0, Shared::Nothing)], 0.90);
        let interval = both.interval.unwrap();
        assert_eq!((both.value, interval.low, interval.high), (15.0, 12.0, 20.0));
        assert_eq!(joined(&[], 0.90), Joined { value: 0.0, interval: None });
    }

    #[test]
    fn what_pulls_two_sites_opposite_ways_cancels() {
        // One site keeps soil, the other loses as much: a factor that is wrong for both is wrong for neither's sum.
        let shared = Shared::Factor(0.3);
        let reach = libm::exp(1.644_853_627 * 0.3);
        let kept = part(10.0, 10.0 / reach, 10.0 * reach, shared);
        let lost = part(-10.0, -10.0 * reach, -10.0 / reach, shared);
        let interval = joined(&[kept, lost], 0.90).interval.unwrap();
        assert!(interval.low.abs() < 1e-3 && interval.high.abs() < 1e-3, "{interval:?}");
    }
}
