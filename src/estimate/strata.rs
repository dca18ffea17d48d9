//! Joining strata whose weights are known.

use crate::estimate::ratio::{Ratio, number};

/// How many times wider than independent stems the spread of a stratum with a single plot is taken to be (common practice,
/// no source); also the design effect where every plot is alike and shows no spread at all.
pub const ASSUMED_DESIGN_EFFECT: f64 = 3.0;

/// One stratum: its ratio and its part of the whole, not yet scaled to add up to one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stratum {
    /// The ratio over its plots.
    pub ratio: Ratio,
    /// Its part of the whole: stems planted, plan hectares.
    pub weight: f64,
}

/// Strata joined.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joined {
    /// `Σ W p`.
    pub value: f64,
    /// `Σ W² v`, over the strata that have a variance.
    pub variance: f64,
    /// Satterthwaite's degrees of freedom; 0 where no stratum has a variance.
    pub freedom: f64,
    /// Strata with a single plot, which have no variance of their own.
    pub single: usize,
}

/// The separate ratio estimate over `strata`. `None` without strata or with weights of nothing.
///
/// `p = Σ W p_h`, `v = Σ W² v_h`, freedom `(Σg)² / Σ g²/(n − 1)` with `g = W² v_h`.
///
/// # Reference
/// Cochran (1977), *Sampling Techniques*, 3rd ed., ch. 5 and 6; Satterthwaite (1946), *Biometrics Bull.* 2:110-114.
#[must_use]
pub fn joined(strata: &[Stratum]) -> Option<Joined> {
    let whole: f64 = strata.iter().map(|stratum| stratum.weight).sum();
    if whole <= 0.0 {
        return None;
    }
    let (mut value, mut variance, mut squares, mut single) = (0.0, 0.0, 0.0, 0);
    for stratum in strata {
        let weight = stratum.weight / whole;
        value += weight * stratum.ratio.value;
        match stratum.ratio.variance {
            Some(own) => {
                let part = weight * weight * own;
                variance += part;
                squares += part * part / (number(stratum.ratio.plots) - 1.0);
            }
            None => single += 1,
        }
    }
    let freedom = if squares > 0.0 { variance * variance / squares } else { 0.0 };
    Some(Joined { value, variance, freedom, single })
}
