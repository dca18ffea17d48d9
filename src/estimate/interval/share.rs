//! Intervals about a share: Wilson's, Clopper and Pearson's, and the t interval on the logit scale.

use crate::{
    estimate::{
        Interval,
        interval::{normal_deviate, quantile::beta, t_deviate},
    },
    units::Share,
};

/// Wilson's score interval for `hits` of `of` independent trials: it stays inside 0 to 1 even when none or all hit.
///
/// `centre = (p + z²/2n) / (1 + z²/n)`, `half = z √(p(1 − p)/n + z²/4n²) / (1 + z²/n)`.
///
/// # Reference
/// Wilson (1927), *J. Am. Stat. Assoc.* 22:209-212; Newcombe (1998), *Stat. Med.* 17:857-872.
#[must_use]
pub fn wilson(hits: f64, of: f64, confidence: f64) -> Interval<Share> {
    let (p, z) = (hits / of, normal_deviate(confidence));
    let scale = 1.0 + z * z / of;
    let centre = (p + z * z / (2.0 * of)) / scale;
    let half = z * libm::sqrt(p * (1.0 - p) / of + z * z / (4.0 * of * of)) / scale;
    // Exact ends, which rounding would miss by a hair.
    let low = if hits <= 0.0 { 0.0 } else { centre - half };
    let high = if hits >= of { 1.0 } else { centre + half };
    between(low, high, confidence)
}

/// Clopper and Pearson's interval: coverage is never below the nominal one. `hits` and `of` need not be whole, as when `of`
/// is an effective number of trials.
///
/// # Reference
/// Clopper and Pearson (1934), *Biometrika* 26:404-413; Korn and Graubard (1998), *Surv. Methodol.* 24:193-201.
#[must_use]
pub fn clopper_pearson(hits: f64, of: f64, confidence: f64) -> Interval<Share> {
    let tail = (1.0 - confidence) / 2.0;
    let low = if hits <= 0.0 { 0.0 } else { beta(tail, hits, of - hits + 1.0) };
    let high = if hits >= of { 1.0 } else { beta(1.0 - tail, hits + 1.0, of - hits) };
    between(low, high, confidence)
}

/// Student's t interval on the logit scale about a share with this variance; it stays inside 0 to 1.
///
/// `L = ln(p / (1 − p))`, `s = √v / (p(1 − p))`, ends `1 / (1 + exp(−(L ± t s)))`.
///
/// # Reference
/// Korn and Graubard (1999), *Analysis of Health Surveys*, as in the R package survey, `svyciprop(method = "logit")`.
#[must_use]
pub fn logit_t(share: f64, variance: f64, freedom: f64, confidence: f64) -> Option<Interval<Share>> {
    let spread = share * (1.0 - share);
    let t = t_deviate(confidence, freedom);
    if spread <= 0.0 || t.is_nan() || variance < 0.0 {
        return None;
    }
    let (logit, half) = (libm::log(share / (1.0 - share)), t * libm::sqrt(variance) / spread);
    let end = |logit: f64| 1.0 / (1.0 + libm::exp(-logit));
    Some(between(end(logit - half), end(logit + half), confidence))
}

fn between(low: f64, high: f64, confidence: f64) -> Interval<Share> {
    Interval { low: Share::nearest(low), high: Share::nearest(high), confidence }
}
