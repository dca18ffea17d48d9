//! Quantiles of the distributions behind every interval.

use statrs::distribution::{Beta, ContinuousCDF, Gamma, Normal, StudentsT};

/// Keeps a probability inside the open interval where every quantile is finite.
fn open(probability: f64) -> f64 {
    probability.clamp(1e-12, 1.0 - 1e-12)
}

/// Quantile of the standard normal distribution.
#[must_use]
pub fn normal(probability: f64) -> f64 {
    Normal::standard().inverse_cdf(open(probability))
}

/// Quantile of Student's t with `df` degrees of freedom, which need not be whole.
///
/// Without degrees of freedom nothing is known, and the quantile is infinite.
#[must_use]
pub fn student(probability: f64, df: f64) -> f64 {
    StudentsT::new(0.0, 1.0, df).map_or(f64::INFINITY, |t| t.inverse_cdf(open(probability)))
}

/// Quantile of the beta distribution; `None` where its shape is not positive.
#[must_use]
pub fn beta(probability: f64, a: f64, b: f64) -> Option<f64> {
    Beta::new(a, b).ok().map(|beta| beta.inverse_cdf(open(probability)))
}

/// Quantile of the gamma distribution with rate 1; `None` where its shape is not positive.
#[must_use]
pub fn gamma(probability: f64, shape: f64) -> Option<f64> {
    Gamma::new(shape, 1.0).ok().map(|gamma| gamma.inverse_cdf(open(probability)))
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
    }

    #[test]
    fn impossible_shapes_and_probabilities_do_not_panic() {
        assert!(student(0.95, 0.0).is_infinite());
        assert_eq!(beta(0.5, 0.0, 1.0), None);
        assert_eq!(gamma(0.5, -1.0), None);
        assert!(normal(0.0).is_finite() && normal(2.0).is_finite());
    }
}
