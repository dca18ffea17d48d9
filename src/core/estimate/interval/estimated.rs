//! Intervals about an estimate with a variance and degrees of freedom.

use crate::estimate::interval::quantile;

/// Logit-t interval of a proportion strictly between 0 and 1; it can't leave that range.
///
/// # Equation
/// L = ln(p/(1−p)), s = √v / (p(1−p)), limits 1/(1 + exp(−(L ± t·s))), t the Student quantile at `df`.
/// # Reference
/// Korn & Graubard (1998), *Survey Methodology* 24:193-201, who compare it with others; the `survey` package for R
/// calls it "logit".
#[must_use]
pub fn logit_t(p: f64, variance: f64, df: f64, confidence: f64) -> (f64, f64) {
    let t = quantile::student(quantile::upper(confidence), df);
    let logit = libm::log(p / (1.0 - p));
    let reach = t * variance.sqrt() / (p * (1.0 - p));
    let share = |logit: f64| 1.0 / (1.0 + libm::exp(-logit));
    (share(logit - reach), share(logit + reach))
}

/// Symmetric t interval.
///
/// # Equation
/// value ± t √v, t the Student quantile at `df`.
#[must_use]
pub fn symmetric_t(value: f64, variance: f64, df: f64, confidence: f64) -> (f64, f64) {
    let reach = quantile::student(quantile::upper(confidence), df) * variance.sqrt();
    (value - reach, value + reach)
}

/// Interval of the mean of a Poisson count of `x`.
///
/// # Equation
/// low = G(α/2; x), high = G(1−α/2; x+1), with G the quantile of the gamma distribution.
/// # Reference
/// Garwood (1936), *Biometrika* 28:437-442.
#[must_use]
pub fn poisson(x: f64, confidence: f64) -> (f64, f64) {
    let upper = quantile::upper(confidence);
    let low = if x <= 0.0 { 0.0 } else { quantile::gamma(1.0 - upper, x).unwrap_or(0.0) };
    (low, quantile::gamma(upper, x + 1.0).unwrap_or(f64::INFINITY))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Gamma quantiles of scipy 1.17.1: nothing seen gives at most 3.688 879, ten seen 4.795 389 to 18.390 356 (95 %,
    /// two-sided); the 95 % one-sided bound of nothing seen is −ln 0.05 = 2.995 732, the "rule of three".
    #[test]
    fn poisson_matches_gamma_quantiles() {
        assert!((poisson(0.0, 0.95).1 - 3.688_879).abs() < 1e-6);
        let (low, high) = poisson(10.0, 0.95);
        assert!((low - 4.795_389).abs() < 1e-6 && (high - 18.390_356).abs() < 1e-6, "{low} {high}");
        assert!((poisson(0.0, 0.90).1 - 2.995_732).abs() < 1e-6);
    }

    #[test]
    fn logit_stays_inside() {
        let (low, high) = logit_t(0.99, 0.01, 1.0, 0.95);
        assert!((0.0..0.99).contains(&low) && 0.99 < high && high <= 1.0);
    }
}
