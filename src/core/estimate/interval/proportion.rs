//! Intervals of a proportion of independent trials.

use crate::estimate::interval::quantile;

/// Wilson score interval of `x` of `n`; 0 to 1 where `n` is nothing.
///
/// # Equation
/// centre (p + z²/2n) / (1 + z²/n), half width z √(p(1−p)/n + z²/4n²) / (1 + z²/n).
/// # Reference
/// Wilson (1927), *J. Am. Stat. Assoc.* 22:209-212; Newcombe (1998), *Stat. Med.* 17:857-872, method 3.
#[must_use]
pub fn wilson(x: f64, n: f64, confidence: f64) -> (f64, f64) {
    if n <= 0.0 {
        return (0.0, 1.0);
    }
    let z = quantile::normal(quantile::upper(confidence));
    let (p, shrink) = (x / n, 1.0 + z * z / n);
    let centre = (p + z * z / (2.0 * n)) / shrink;
    let half = z * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).max(0.0).sqrt() / shrink;
    // At the ends the bound is exact; rounding must not leave dust there.
    let low = if x <= 0.0 { 0.0 } else { (centre - half).max(0.0) };
    let high = if x >= n { 1.0 } else { (centre + half).min(1.0) };
    (low, high)
}

/// Clopper–Pearson ("exact") interval of `x` of `n`, which need not be whole; 0 to 1 where `n` is nothing.
///
/// # Equation
/// low = B(α/2; x, n−x+1), high = B(1−α/2; x+1, n−x), with B the quantile of the beta distribution.
/// # Reference
/// Clopper & Pearson (1934), *Biometrika* 26:404-413.
#[must_use]
pub fn clopper_pearson(x: f64, n: f64, confidence: f64) -> (f64, f64) {
    if n <= 0.0 {
        return (0.0, 1.0);
    }
    let upper = quantile::upper(confidence);
    let low = if x <= 0.0 { 0.0 } else { quantile::beta(1.0 - upper, x, n - x + 1.0).unwrap_or(0.0) };
    let high = if x >= n { 1.0 } else { quantile::beta(upper, x + 1.0, n - x).unwrap_or(1.0) };
    (low, high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_interval_holds_its_share() {
        for n in 1..=60_u32 {
            for x in 0..=n {
                let (x, n) = (f64::from(x), f64::from(n));
                for (low, high) in [wilson(x, n, 0.9), clopper_pearson(x, n, 0.9)] {
                    assert!(0.0 <= low && low <= x / n && x / n <= high && high <= 1.0, "{x} of {n}");
                    assert!(low < high, "{x} of {n}");
                }
            }
        }
    }

    #[test]
    fn nothing_observed_tells_nothing() {
        assert_eq!(wilson(0.0, 0.0, 0.9), (0.0, 1.0));
        assert_eq!(clopper_pearson(0.0, 0.0, 0.9), (0.0, 1.0));
    }
}
