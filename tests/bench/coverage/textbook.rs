//! The limits that a textbook gives for the same surveys, to hold ours against: what is it that covering costs?

use std::collections::BTreeMap;

use hillfolio_core::estimate::{
    interval::{clopper_pearson, logit_t, median_ranks, poisson, quantile, symmetric_t, wilson},
    lifetime::{Life, curve},
    stratified::Stratified,
};

type Ends = Option<(f64, f64)>;

/// A share of stems: logit-t by the linear variance; Wilson for one plot; a third of the stems where plots agree.
pub(crate) fn survival(found: &Stratified, set: f64, confidence: f64) -> Ends {
    let p = found.value;
    Some(match found.spread {
        None => wilson(p * set, set, confidence),
        Some(spread) if spread.variance > 0.0 && p > 0.0 && p < 1.0 => {
            logit_t(p, spread.variance, spread.df, confidence)
        }
        Some(_) => clopper_pearson(p * set / 3.0, set / 3.0, confidence),
    })
}

/// A cover or a change: the symmetric t interval, none without a spread.
pub(crate) fn mean(found: &Stratified, confidence: f64) -> Ends {
    let spread = found.spread.filter(|spread| spread.variance > 0.0)?;
    Some(symmetric_t(found.value, spread.variance, spread.df, confidence))
}

/// A density: the same, no lower than nothing; stems at random where plots agree.
pub(crate) fn density(found: &Stratified, confidence: f64) -> Ends {
    let area = found.sampling.trials;
    let random = || {
        let (low, high) = poisson(found.value * area, confidence);
        (low / area, high / area)
    };
    found.spread?;
    Some(mean(found, confidence).map_or_else(random, |(low, high)| (low.max(0.0), high)))
}

/// A median of trees as if each stood alone: its ranks.
pub(crate) fn median(plots: &[Vec<f64>], confidence: f64) -> Ends {
    let mut sorted: Vec<f64> = plots.iter().flatten().copied().collect();
    sorted.sort_unstable_by(f64::total_cmp);
    let (first, last) = median_ranks(sorted.len(), confidence)?;
    Some((*sorted.get(first - 1)?, *sorted.get(last - 1)?))
}

/// Lives of stems as if each stood alone: Greenwood's error on the scale log(−log).
pub(crate) fn lives(lives: &[Life], confidence: f64) -> Ends {
    curve(lives).last()?.interval(quantile::normal(quantile::upper(confidence)))
}

/// A sum of sites by the squares of their reaches.
pub(crate) fn joined(parts: &BTreeMap<usize, (f64, Ends)>) -> Ends {
    let weight = 1.0 / parts.len() as f64;
    let value: f64 = parts.values().map(|(value, _)| value * weight).sum();
    let reach = |of: fn(f64, (f64, f64)) -> f64| {
        let squares = parts.values().filter_map(|(value, ends)| Some(of(*value, (*ends)?) * weight));
        squares.map(|reach| reach * reach).sum::<f64>().sqrt()
    };
    Some((value - reach(|value, ends| value - ends.0), value + reach(|value, ends| ends.1 - value)))
}
