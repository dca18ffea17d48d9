//! How many plots the next survey needs, from how much those of this one differed.

use crate::estimate::{
    ratio::count,
    stratified::{Sampling, Spread, Stratified},
};

/// Fewer plots in a stratum than this leave limits too wide to be of use.
const FEWEST: usize = 3;

/// More plots than anyone lays out; where these are too few, the question has no useful answer.
const MOST: usize = 10_000;

/// Limits of an estimate by what its plots found; `None` where they tell too little.
pub type LimitsOf<'a> = &'a dyn Fn(&Stratified) -> Option<(f64, f64)>;

/// Half the width of the interval of this survey; `None` where it has none.
#[must_use]
pub fn half_width(joint: &Stratified, limits: LimitsOf<'_>) -> Option<f64> {
    limits(joint).map(|(low, high)| (high - low) / 2.0)
}

/// The fewest plots by which the interval would be no wider than twice `reach`; `None` where this survey shows no
/// spread, has but one plot in each stratum, or no number of plots that anyone lays out would do.
///
/// # Equation
/// The least n with (high − low)/2 ≤ reach, the limits those of the estimate itself for n plots: variances n₀/n times those of this
/// survey's n₀, (n − H)/(n₀ − H) times its degrees of freedom, H its strata; no fewer than three in a stratum.
/// # Assumption
/// The next plots differ as these did, and are shared among the strata as these were.
/// # Reference
/// Cochran (1977), *Sampling Techniques*, 3rd ed., sections 4.4 and 4.6.
#[must_use]
pub fn plots_needed(joint: &Stratified, reach: f64, limits: LimitsOf<'_>) -> Option<usize> {
    let reaches = |plots| half_width(&of_plots(joint, plots)?, limits).map(|half| half <= reach);
    let (mut fails, mut holds) = (FEWEST * joint.strata - 1, MOST);
    if !reaches(MOST)? {
        return None;
    }
    while fails + 1 < holds {
        let middle = usize::midpoint(fails, holds);
        if reaches(middle)? { holds = middle } else { fails = middle }
    }
    Some(holds)
}

/// What as many plots would find that differ as those of `joint` did.
fn of_plots(joint: &Stratified, plots: usize) -> Option<Stratified> {
    let spread = joint.spread.filter(|spread| spread.variance > 0.0)?;
    let beyond = |plots: usize| plots.checked_sub(joint.strata).map(count).filter(|&beyond| beyond > 0.0);
    let df = spread.df * beyond(plots)? / beyond(joint.plots)?;
    let more = count(plots) / count(joint.plots);
    let (variance, jackknife) = (spread.variance / more, spread.jackknife / more);
    let Sampling { trials, plots: alike, cluster, sampled } = joint.sampling;
    let sampling = Sampling { trials: trials * more, plots: alike * more, cluster, sampled };
    Some(Stratified { spread: Some(Spread { variance, jackknife, df }), plots, sampling, ..*joint })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::estimate::interval::{clustered::of_stems, symmetric_t};

    fn survey(cv: f64) -> Stratified {
        let variance = cv * cv / 10.0;
        let spread = Some(Spread { variance, jackknife: variance, df: 9.0 });
        let sampling = Sampling { trials: 10.0, plots: 10.0, cluster: 1.0, sampled: 0.0 };
        Stratified { value: 1.0, spread, plots: 10, strata: 1, single: 0, census: false, sampling }
    }

    /// Plots for ±10 % of a mean by the coefficient of variation, iterated as n = ⌈(t cv / r)²⌉ with R 4.2.2: at 95 and 90 % confidence 18
    /// and 13 for 0.2, 37 and 27 for 0.3, 64 and 46 for 0.4, 99 and 70 for 0.5; for ±20 % at 95 % 7, 11, 18 and 27. The iteration
    /// swings between 37 and 38 and between 11 and 12; 37 and 11 plots miss by a hair (t₃₆ 0.3/√37 = 0.10002), so the greater is right.
    #[test]
    fn plots_match_the_iterated_table() {
        let by_t = |confidence| {
            move |found: &Stratified| {
                let spread = found.spread?;
                Some(symmetric_t(found.value, spread.variance, spread.df, confidence))
            }
        };
        let needed = |cv, reach, confidence| plots_needed(&survey(cv), reach, &by_t(confidence)).unwrap();
        let table = [(0.2, 18, 13, 7), (0.3, 38, 27, 12), (0.4, 64, 46, 18), (0.5, 99, 70, 27)];
        for (cv, at_95, at_90, wide) in table {
            let found = (needed(cv, 0.1, 0.95), needed(cv, 0.1, 0.90), needed(cv, 0.2, 0.95));
            assert_eq!(found, (at_95, at_90, wide), "{cv}");
        }
        assert!(half_width(&of_plots(&survey(0.3), 37).unwrap(), &by_t(0.95)).unwrap() > 0.1);
    }

    #[test]
    fn no_spread_gives_no_number_and_three_are_the_least() {
        let by_t = |found: &Stratified| {
            found.spread.map(|spread| symmetric_t(found.value, spread.variance, spread.df, 0.9))
        };
        let mut joint = survey(0.001);
        assert_eq!(plots_needed(&joint, 0.5, &by_t), Some(3));
        joint.spread = None;
        assert_eq!(plots_needed(&joint, 0.5, &by_t), None);
        assert_eq!(half_width(&joint, &by_t), None);
    }

    /// A survey whose interval reaches further than what is asked needs more plots, and one whose interval does not needs no more.
    #[test]
    fn what_is_needed_agrees_with_the_interval_that_is_printed() {
        let limits = |found: &Stratified| Some(of_stems(found, 0.9).interval);
        for variance in [0.000_5, 0.001, 0.003, 0.01] {
            let spread = Some(Spread { variance, jackknife: variance, df: 7.0 });
            let sampling = Sampling { trials: 160.0, plots: 8.0, cluster: 20.0, sampled: 0.0 };
            let found = Stratified { value: 0.8, spread, sampling, plots: 8, ..survey(0.1) };
            for reach in [0.05, 0.1, 0.15] {
                let enough = half_width(&found, &limits).unwrap() <= reach;
                assert_eq!(plots_needed(&found, reach, &limits).unwrap() <= 8, enough, "{variance} {reach}");
            }
        }
    }
}
