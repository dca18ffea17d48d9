//! Intervals about an estimate with a variance and degrees of freedom.

use crate::estimate::{interval::quantile, stratified::Stratified};

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

/// How things that are counted stand in clumps, before the plots have spoken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clumping {
    /// Variance of the clumps' density beside its squared mean, worth one degree of freedom.
    pub variance: f64,
    /// Things of effective count that the upper limit reckons with beyond those seen.
    pub unseen: f64,
}

impl Clumping {
    /// Planted stems and all that lives (judgement; covers by simulation).
    pub const STEMS: Clumping = Clumping { variance: 0.17, unseen: 1.8 };
    /// Self-sown stems, which stand about their mothers and along the birds' perches (likewise).
    pub const RECRUITS: Clumping = Clumping { variance: 3.0, unseen: 2.5 };
}

/// Gamma interval of a density by an effective count; `None` for one plot.
///
/// # Equation
/// x* = D²/v · (z/t(ν + 1))², v = (v₀ + ν v_J)/(1 + ν), no less than D²/x, v₀ = D²(1/x + φ/n), x stems on n plots, v_J the jackknife
/// variance with ν degrees of freedom; low = D/x* G(α/2; x*), high = D/x* G(1 − α/2; x* + u), G the quantile of the gamma distribution.
/// Where nothing stands, half a stem is put in the place of x, and the lower limit is 0.
/// # Reference
/// Fay and Feuer (1997), *Statistics in Medicine* 16:791-801; Smyth (2004), *Statistical Applications in Genetics and Molecular Biology*
/// 3:3 (moderated variance).
#[must_use]
pub fn density(found: &Stratified, clumping: Clumping, confidence: f64) -> Option<(f64, f64)> {
    let spread = found.spread.filter(|spread| spread.df > 0.0)?;
    let upper = quantile::upper(confidence);
    let stems = (found.value * found.sampling.trials).max(0.5);
    let density = stems / found.sampling.trials;
    let relative = 1.0 / stems + clumping.variance / found.sampling.plots;
    let between = spread.jackknife / (density * density);
    let joint = ((relative + spread.df * between) / (1.0 + spread.df)).max(1.0 / stems);
    let fewer = quantile::normal(upper) / quantile::student(upper, spread.df + 1.0);
    let effective = fewer * fewer / joint;
    let of_one = density / effective;
    if found.value <= 0.0 {
        return Some((0.0, of_one.max(1.0 / found.sampling.trials) * quantile::gamma(upper, 1.0)?));
    }
    let low = quantile::gamma(1.0 - upper, effective)? * of_one;
    Some((low, quantile::gamma(upper, effective + clumping.unseen)? * of_one))
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
