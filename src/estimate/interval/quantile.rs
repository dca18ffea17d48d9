//! Deviates of the normal, t and beta distributions.

use statrs::distribution::{Beta, ContinuousCDF, Normal, StudentsT};

/// The standard normal deviate that a two-sided interval of `confidence` reaches to on each side.
#[must_use]
pub fn normal_deviate(confidence: f64) -> f64 {
    Normal::new(0.0, 1.0).map_or(f64::NAN, |normal| normal.inverse_cdf(upper(confidence)))
}

/// Student's t deviate for a two-sided interval of `confidence` with `freedom` degrees of freedom, which need not be whole.
/// Not a number where there is no freedom.
#[must_use]
pub fn t_deviate(confidence: f64, freedom: f64) -> f64 {
    if freedom.is_nan() || freedom <= 0.0 {
        return f64::NAN;
    }
    StudentsT::new(0.0, 1.0, freedom).map_or(f64::NAN, |t| t.inverse_cdf(upper(confidence)))
}

/// The value below which a beta variable with shapes `a` and `b` falls with probability `p`.
pub(super) fn beta(p: f64, a: f64, b: f64) -> f64 {
    Beta::new(a, b).map_or(f64::NAN, |beta| beta.inverse_cdf(p.clamp(0.0, 1.0)))
}

fn upper(confidence: f64) -> f64 {
    (0.5 + confidence / 2.0).clamp(0.5, 1.0 - 1e-12)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Printed in every table of the two distributions: 1.645, 1.960; t with 5 degrees of freedom 2.015, 2.571.
    #[test]
    fn deviates_are_those_of_the_tables() {
        assert!((normal_deviate(0.90) - 1.644_854).abs() < 1e-6);
        assert!((normal_deviate(0.95) - 1.959_964).abs() < 1e-6);
        assert!((t_deviate(0.90, 5.0) - 2.015_048).abs() < 1e-6);
        assert!((t_deviate(0.95, 5.0) - 2.570_582).abs() < 1e-6);
        assert!(t_deviate(0.95, 0.0).is_nan());
    }
}
