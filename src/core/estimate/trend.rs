//! Where the line through the last two surveys leads.

use chrono::NaiveDate;

use crate::{
    estimate::{Estimate, Finding, Gap, Interval, Method},
    source::Sources,
    units::day,
};

/// What one survey found.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// The last day of the survey.
    pub date: NaiveDate,
    /// What it found.
    pub value: f64,
    /// Its interval.
    pub interval: Option<Interval<f64>>,
    /// The rows it came from.
    pub sources: Sources,
}

/// What is to be expected on the day `by`, if things go on as from the survey `earlier` to the survey `later`; held to `range`,
/// such as 0 to 1 for a share.
///
/// # Equation
/// v₂ + k (v₂ − v₁), k = (by − t₂) / (t₂ − t₁). Its lower end is √(((1 + k)(v₂ − l₂))² + (k (u₁ − v₁))²) below it, its upper end in the
/// same way above: the surveys' errors are taken to be independent.
/// # Assumption
/// Things go on as between the last two surveys; plants don't grow by straight lines, and plots seen twice err alike, so the ends
/// lie rather too far apart.
/// # Reference
/// Zou and Donner (2008), *Construction of confidence limits about effect measures: a general approach*, Statistics in Medicine
/// 27:1693-1702 (limits of a difference from those of its parts).
///
/// # Errors
/// The two surveys are of one day, or `by` is not after them.
pub fn expected(earlier: &Found, later: &Found, by: NaiveDate, range: (f64, f64)) -> Finding<f64> {
    let between = days(earlier.date, later.date);
    let ahead = days(later.date, by);
    if between <= 0.0 || ahead <= 0.0 {
        return Err(Gap::NothingToDivideBy("time between the surveys"));
    }
    let k = ahead / between;
    let value = later.value + k * (later.value - earlier.value);
    let held = |value: f64| value.clamp(range.0, range.1);
    let interval = later.interval.zip(earlier.interval).map(|(two, one)| {
        let below = libm::hypot((1.0 + k) * (later.value - two.low), k * (one.high - earlier.value));
        let above = libm::hypot((1.0 + k) * (two.high - later.value), k * (earlier.value - one.low));
        Interval { low: held(value - below), high: held(value + above), confidence: two.confidence }
    });
    let mut sources = later.sources.clone();
    sources.join(&earlier.sources);
    let estimate = Estimate {
        value: held(value),
        interval,
        sample: None,
        cautious: None,
        method: Method::TREND,
        sources,
        notes: Vec::new(),
    };
    Ok(estimate.note(format!(
        "by the line through the surveys to {} and {}",
        day(earlier.date),
        day(later.date)
    )))
}

#[allow(clippy::cast_precision_loss, reason = "days between two surveys")]
fn days(from: NaiveDate, to: NaiveDate) -> f64 {
    (to - from).num_days() as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(date: &str, value: f64, half: f64) -> Found {
        let interval = Some(Interval { low: value - half, high: value + half, confidence: 0.9 });
        Found { date: date.parse().unwrap_or_default(), value, interval, sources: Sources::default() }
    }

    /// Equal steps: 0.40 and 0.50 a year apart are 0.60 a year on; its half-width is √((2 × 0.03)² + 0.04²) = 0.0721 (by hand).
    #[test]
    fn the_line_goes_on() {
        let by = "2027-05-20".parse().unwrap_or_default();
        let (one, two) = (found("2025-05-20", 0.40, 0.04), found("2026-05-20", 0.50, 0.03));
        let next = expected(&one, &two, by, (0.0, 1.0)).unwrap();
        assert!((next.value - 0.60).abs() < 1e-12);
        let interval = next.interval.unwrap();
        assert!((interval.high - next.value - 0.072_111).abs() < 1e-6, "{interval:?}");
        assert!((next.value - interval.low - 0.072_111).abs() < 1e-6);
    }

    #[test]
    fn a_share_ends_at_the_whole_and_the_past_is_not_expected() {
        let day = |text: &str| text.parse().unwrap_or_default();
        let (one, two) = (found("2025-05-20", 0.40, 0.04), found("2026-05-20", 0.80, 0.03));
        assert_eq!(expected(&one, &two, day("2030-01-01"), (0.0, 1.0)).unwrap().value, 1.0);
        assert!(expected(&one, &two, day("2026-01-01"), (0.0, 1.0)).is_err());
        assert!(expected(&two, &two, day("2030-01-01"), (0.0, 1.0)).is_err());
    }
}
