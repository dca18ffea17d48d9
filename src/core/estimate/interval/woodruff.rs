//! The interval of a median of things that stand in plots.

use crate::estimate::{
    interval::clustered::Clustered,
    ratio::{Pair, count, ratio},
};

/// Intra-plot correlation that trees on either side of the median are taken to have before the plots have spoken (judgement).
const CORRELATION: f64 = 0.12;

/// Fewer trees drawn singly than this can't hold a median between them at all, however far apart they stand: log₂(2/α).
fn fewest(confidence: f64) -> f64 {
    1.0 - libm::log2(1.0 - confidence)
}

/// The interval of the median of `plots`, the values of each; `None` where they are worth too few.
///
/// # Equation
/// The share of values below the median has the limits of a share of one half in clusters, c and d ([`Clustered::effective`]); the interval
/// reaches from the smallest value that a share c does not exceed to its mirror.
/// # Assumption
/// Plots are alike; a value that is the median itself counts half below it.
/// # Reference
/// Woodruff (1952), *Journal of the American Statistical Association* 47:635-646.
#[must_use]
pub fn median_limits(plots: &[Vec<f64>], confidence: f64) -> Option<(f64, f64)> {
    let mut sorted: Vec<f64> = plots.iter().flatten().copied().collect();
    sorted.sort_unstable_by(f64::total_cmp);
    let n = sorted.len();
    let median = f64::midpoint(*sorted.get(n.checked_sub(1)? / 2)?, *sorted.get(n / 2)?);
    let below = |value: &f64| match value.total_cmp(&median) {
        std::cmp::Ordering::Less => 1.0,
        std::cmp::Ordering::Equal => 0.5,
        std::cmp::Ordering::Greater => 0.0,
    };
    let pairs = plots.iter().filter(|plot| !plot.is_empty());
    let pair = |plot: &Vec<f64>| Pair { part: plot.iter().map(below).sum(), whole: count(plot.len()) };
    let pairs: Vec<Pair> = pairs.map(pair).collect();
    let found = ratio(&pairs)?;
    let between = (pairs.len() > 1).then(|| (found.jackknife, count(pairs.len()) - 1.0));
    let halves = Clustered { share: 0.5, trials: count(n), cluster: found.cluster, between };
    let effective = halves.as_shown(CORRELATION, confidence);
    if effective < fewest(confidence) {
        return None;
    }
    let (share, _) = halves.limits(effective, confidence);
    let rank = rank(share, n);
    Some((*sorted.get(rank - 1)?, *sorted.get(n - rank)?))
}

/// The place in order, counted from 1, of the smallest of `n` values that a share does not exceed.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 1 and n")]
fn rank(share: f64, n: usize) -> usize {
    ((share * count(n)).ceil() as usize).clamp(1, n)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Trees that stand alone in their plots are as many drawn singly: of sixteen the fifth and the twelfth, as by the binomial table
    /// (Conover 1999, table A3: P(X ≤ 4) = 0.0384, P(X ≤ 5) = 0.1051), or the one outside them where the plots' own spread is counted.
    #[test]
    fn trees_alone_come_near_the_binomial_ranks() {
        let plots: Vec<Vec<f64>> = (1..=16).map(|value| vec![f64::from(value)]).collect();
        let (low, high) = median_limits(&plots, 0.9).unwrap();
        assert!((4.0..=5.0).contains(&low) && (12.0..=13.0).contains(&high), "{low} {high}");
    }

    #[test]
    fn trees_of_like_plots_say_less() {
        let alike: Vec<Vec<f64>> = (0..6)
            .map(|plot| (0..10).map(|tree| f64::from(plot) + f64::from(tree) * 0.01).collect())
            .collect();
        let mixed: Vec<Vec<f64>> = (0..6)
            .map(|plot| (0..10).map(|tree| f64::from(tree) + f64::from(plot) * 0.01).collect())
            .collect();
        assert!(median_limits(&mixed, 0.9).is_some());
        assert_eq!(median_limits(&alike, 0.9), None);
        assert_eq!(median_limits(&mixed[..1], 0.9), None);
        assert_eq!(median_limits(&[], 0.9), None);
    }
}
