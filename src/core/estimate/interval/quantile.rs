//! Quantiles of the distributions behind every interval.

use statrs::{
    distribution::{ContinuousCDF, Normal},
    function::{beta::checked_beta_reg, gamma::checked_gamma_lr},
};

/// Keeps a probability inside the open interval where every quantile is finite.
fn open(probability: f64) -> f64 {
    probability.clamp(1e-12, 1.0 - 1e-12)
}

/// Beyond so many degrees of freedom Student's t differs from the normal distribution by less than rounding.
const AS_GOOD_AS_NORMAL: f64 = 1e8;

/// Quantile of the standard normal distribution.
#[must_use]
pub fn normal(probability: f64) -> f64 {
    Normal::standard().inverse_cdf(open(probability))
}

/// Quantile of Student's t with `df` degrees of freedom, which need not be whole.
///
/// Without degrees of freedom nothing is known, and the quantile is infinite.
///
/// # Equation
/// P(|T| > t) is the regularised incomplete beta function of ν/(ν + t²) with shapes ν/2 and ½.
#[must_use]
pub fn student(probability: f64, df: f64) -> f64 {
    if df > AS_GOOD_AS_NORMAL {
        return normal(probability);
    }
    let probability = open(probability);
    let outside = 2.0 * probability.min(1.0 - probability);
    beta(outside, df / 2.0, 0.5).map_or(f64::INFINITY, |x| {
        let t = (df * (1.0 - x) / x).sqrt();
        if probability < 0.5 { -t } else { t }
    })
}

/// Quantile of the beta distribution; `None` where its shape is not positive.
///
/// Found by halving: the library's own search does not come to an end for some shapes.
#[must_use]
pub fn beta(probability: f64, a: f64, b: f64) -> Option<f64> {
    let below = |x: f64| checked_beta_reg(a, b, x).unwrap_or(1.0) < open(probability);
    (a > 0.0 && b > 0.0 && a.is_finite() && b.is_finite()).then(|| halved(0.0, 1.0, below))
}

/// Quantile of the gamma distribution with rate 1; `None` where its shape is not positive.
#[must_use]
pub fn gamma(probability: f64, shape: f64) -> Option<f64> {
    let below = |x: f64| checked_gamma_lr(shape, x).unwrap_or(1.0) < open(probability);
    (shape > 0.0 && shape.is_finite()).then(|| halved(0.0, shape + 12.0 * (shape.sqrt() + 3.0), below))
}

/// The place between `low` and `high` up to which `below` holds, halved until no number lies between.
fn halved(mut low: f64, mut high: f64, below: impl Fn(f64) -> bool) -> f64 {
    loop {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            return middle;
        }
        if below(middle) { low = middle } else { high = middle }
    }
}

/// The probability below the upper end of a two-sided interval: 0.95 for a confidence of 0.90.
#[must_use]
pub fn upper(confidence: f64) -> f64 {
    0.5 + confidence / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Printed tables (Fisher & Yates): z 1.959964, t(9) 2.262157, t(1) 12.7062, all at 97.5 %.
    #[test]
    fn quantiles_match_printed_tables() {
        assert!((normal(0.975) - 1.959_964).abs() < 1e-6);
        assert!((student(0.975, 9.0) - 2.262_157).abs() < 1e-6);
        assert!((student(0.975, 1.0) - 12.706_2).abs() < 1e-4);
        assert!((student(0.025, 9.0) + 2.262_157).abs() < 1e-6);
        assert!(student(0.5, 9.0).abs() < 1e-6);
        // With a million degrees of freedom z + (z³ + z)/(4 ν) (Cornish and Fisher 1938).
        assert!((student(0.975, 1e6) - 1.959_966_4).abs() < 1e-6);
    }

    /// The distribution of the second largest of twenty uniform numbers is 20 x¹⁹ − 19 x²⁰ (by hand); gamma.ppf(0.95, 11) of scipy 1.17.1 is
    /// 16.962 22, half of the 33.924 of printed tables of χ² with 22 degrees of freedom.
    #[test]
    fn quantiles_match_scipy_and_any_shape_comes_to_an_end() {
        let x = beta(0.05, 19.0, 2.0).unwrap();
        assert!((20.0 * libm::pow(x, 19.0) - 19.0 * libm::pow(x, 20.0) - 0.05).abs() < 1e-12, "{x}");
        assert!((gamma(0.95, 11.0).unwrap() - 16.962_22).abs() < 1e-4, "{:?}", gamma(0.95, 11.0));
        for (a, b) in [(1e-9, 1.0), (1.0, 1e-9), (1e-3, 1e6), (1e6, 1e6), (0.2, 1e4), (1e5, 0.3)] {
            let found = beta(0.05, a, b).unwrap();
            assert!((0.0..=1.0).contains(&found), "{a} {b} {found}");
        }
        for shape in [1e-9, 1e-3, 0.3, 1e3, 1e5] {
            assert!(gamma(0.95, shape).unwrap() >= 0.0);
        }
    }

    #[test]
    fn impossible_shapes_and_probabilities_do_not_panic() {
        assert!(student(0.95, 0.0).is_infinite());
        assert_eq!(beta(0.5, 0.0, 1.0), None);
        assert_eq!(gamma(0.5, -1.0), None);
        assert!(normal(0.0).is_finite() && normal(2.0).is_finite());
    }
}
