//! Limits of a share of clustered trials: stems in plots, and ground in plots.
//!
//! Plots show how much they differ, but few plots show it badly: two that happen to agree say nothing. So what they show is joined with
//! what is known beforehand of plots, as if that were a plot more, and the joint variance tells how many trials drawn singly the sample
//! is worth. The constants were chosen by simulation; `cargo bench --bench coverage` prints how often the limits hold the truth.

use crate::estimate::{
    interval::{clopper_pearson, quantile},
    ratio::count,
    stratified::{Sampling, Stratified},
};

/// Intra-plot correlation that stems are taken to have before the plots have spoken (judgement, within what plot surveys of plantings
/// show).
pub const CORRELATION_OF_STEMS: f64 = 0.05;

/// The same of cover.
pub const CORRELATION_OF_COVER: f64 = 0.1;

/// The same of stems lost between two surveys: what kills comes on a day and to a place (judgement).
pub const CORRELATION_OF_LOSSES: f64 = 0.3;

/// Degrees of freedom that this is worth: those of one plot more.
pub const WORTH: f64 = 1.0;

/// Intra-plot correlation of stems in a plot that stands alone and can't show its own.
pub const CORRELATION_OF_ONE: f64 = 0.2;

/// Intra-plot correlation up to which a verdict on stems has to hold: that of losses in patches, such as frost or one herd's night.
pub const CORRELATION_OF_PATCHES: f64 = 0.6;

/// Most trials drawn singly that a plot's cover is worth, however alike the plots are.
pub const MOST_OF_A_PLOT: f64 = 12.0;

/// The same where a verdict has to hold.
pub const MOST_FOR_A_VERDICT: f64 = 5.0;

/// Chance with which a loss in patches that fell into no plot is reckoned with.
pub const UNSEEN: f64 = 0.35;

/// The largest part of the ground that such a loss is taken to have.
pub const MOST_UNSEEN: f64 = 0.125;

/// Limits of a share: those of its interval, and those that a verdict has to hold to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Of the interval.
    pub interval: (f64, f64),
    /// Of an interval that holds where plots are as clustered as patchy losses make them.
    pub cautious: (f64, f64),
}

/// A share of trials that stand in plots.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clustered {
    /// The share.
    pub share: f64,
    /// Trials drawn singly that would be as many.
    pub trials: f64,
    /// Trials in the plot in which a trial finds itself.
    pub cluster: f64,
    /// Variance between plots and its degrees of freedom; `None` for one plot.
    pub between: Option<(f64, f64)>,
}

impl Clustered {
    /// What plots found, as such a share.
    #[must_use]
    pub fn of(found: &Stratified) -> Clustered {
        let between = found.spread.map(|spread| (spread.jackknife, spread.df));
        let Sampling { trials, cluster, .. } = found.sampling;
        Clustered { share: found.value.clamp(0.0, 1.0), trials, cluster, between }
    }

    /// Trials drawn singly that the plots are worth where trials of a plot are correlated by `correlation`.
    #[must_use]
    pub fn correlated(&self, correlation: f64) -> f64 {
        self.trials / self.effect(correlation)
    }

    /// Plots of one size that `plots` of unlike size are worth: M/m*.
    ///
    /// # Reference
    /// Kish (1965), *Survey Sampling*, section 11.7 (unequal weights).
    fn like_plots(&self, plots: usize) -> f64 {
        (self.trials / self.cluster).clamp(1.0, count(plots))
    }

    /// Design effect of a correlation.
    ///
    /// # Reference
    /// Kish (1965), *Survey Sampling*, section 5.4.
    fn effect(&self, correlation: f64) -> f64 {
        1.0 + (self.cluster - 1.0).max(0.0) * correlation
    }

    /// Trials drawn singly that the plots are worth, by what they show and, as one plot more, by `correlation`.
    ///
    /// # Equation
    /// v = (ν₀ v₀ + ν max(v_J, v₁)) / (ν₀ + ν), v₁ = p̃(1 − p̃)/M that of trials drawn singly, v₀ = v₁ (1 + (m* − 1)ρ), v_J that between
    /// plots with ν degrees of freedom, no more than M/m* − 1 nor fewer than 1, ν₀ = 1, p̃ = (p M + 1)/(M + 2); n* = p̃(1 − p̃)/v · (t(M − 1)/t(ν + ν₀))², no more than M.
    /// # Reference
    /// Korn and Graubard (1998), *Survey Methodology* 24:193-201; Smyth (2004), *Statistical Applications in Genetics and Molecular
    /// Biology* 3:3 (moderated variance).
    #[must_use]
    pub fn effective(&self, correlation: f64, confidence: f64) -> f64 {
        self.worth(correlation, 1.0, confidence)
    }

    /// The same where plots may differ less than trials drawn singly would: max(v_J, 2 v₁/ν) in the place of max(v_J, v₁) beyond three
    /// plots. For shares far from nought and one, which plots do not come to all agree on.
    #[must_use]
    pub fn as_shown(&self, correlation: f64, confidence: f64) -> f64 {
        let df = self.between.map_or(1.0, |(_, df)| df);
        self.worth(correlation, (2.0 / df).min(1.0), confidence)
    }

    /// Those trials, the variance between plots being no less than `floor` times that of trials drawn singly.
    fn worth(&self, correlation: f64, floor: f64, confidence: f64) -> f64 {
        let Some((between, df)) = self.between.filter(|(_, df)| *df > 0.0) else {
            return self.correlated(CORRELATION_OF_ONE.max(correlation));
        };
        let df = df.min((self.trials / self.cluster - 1.0).max(1.0));
        let near = (self.share * self.trials + 1.0) / (self.trials + 2.0);
        let single = near * (1.0 - near) / self.trials;
        let joint =
            (WORTH * single * self.effect(correlation) + df * between.max(floor * single)) / (WORTH + df);
        let t = |df: f64| quantile::student(quantile::upper(confidence), df);
        let fewer = t((self.trials - 1.0).max(1.0)) / t(df + WORTH);
        (self.trials * single / joint * fewer * fewer).min(self.trials)
    }

    /// Limits of Clopper and Pearson for as many trials as the plots are worth.
    #[must_use]
    pub fn limits(&self, effective: f64, confidence: f64) -> (f64, f64) {
        clopper_pearson(self.share * effective, effective, confidence)
    }
}

/// Limits of the share of stems that live.
///
/// # Equation
/// Those of Korn and Graubard for the stems that the plots are worth ([`Clustered::effective`]). The lower one is no higher than p (1 − q), q
/// the part of the ground, an eighth at most, in which no plot falls with a chance of 0.35. For a verdict the stems are worth no more than at
/// a correlation of 0.6.
#[must_use]
pub fn of_stems(found: &Stratified, confidence: f64) -> Limits {
    let stems = Clustered::of(found);
    let effective = stems.effective(CORRELATION_OF_STEMS, confidence);
    let (low, high) = stems.limits(effective, confidence);
    let unseen = (1.0 - libm::pow(UNSEEN, 1.0 / stems.like_plots(found.plots))).min(MOST_UNSEEN);
    let low = low.min(found.value * (1.0 - unseen * (1.0 - found.sampling.sampled)));
    let cautious = stems.limits(effective.min(stems.correlated(CORRELATION_OF_PATCHES)), confidence);
    Limits { interval: (low, high), cautious: (cautious.0.min(low), cautious.1) }
}

/// Moderated Korn–Graubard limits of a cover; `None` for one plot.
///
/// # Equation
/// v = (ν₀ v₀ + ν v_J)/(ν₀ + ν), v₀ = p(1 − p)ρ/n, n plots, ρ = 0.1, ν₀ = 1; n* = p(1 − p)/v · (z/t(ν + ν₀))², no more than 12 n (5 n for a
/// verdict); n* = n where nothing or everything is covered; limits of Clopper and Pearson for p n* of n*.
/// # Reference
/// As [`Clustered::effective`].
#[must_use]
pub fn of_ground(found: &Stratified, confidence: f64) -> Option<Limits> {
    let spread = found.spread.filter(|spread| spread.df > 0.0)?;
    let (p, plots) = (found.value.clamp(0.0, 1.0), found.sampling.plots);
    let limits = |effective: f64| clopper_pearson(p * effective, effective, confidence);
    let most = p * (1.0 - p);
    if most <= 0.0 {
        let limits = limits(plots);
        return Some(Limits { interval: limits, cautious: limits });
    }
    let joint =
        (WORTH * most * CORRELATION_OF_COVER / plots + spread.df * spread.jackknife) / (WORTH + spread.df);
    let upper = quantile::upper(confidence);
    let fewer = quantile::normal(upper) / quantile::student(upper, spread.df + WORTH);
    let effective = most / joint * fewer * fewer;
    let held = |of_a_plot: f64| limits(effective.min(of_a_plot * plots));
    Some(Limits { interval: held(MOST_OF_A_PLOT), cautious: held(MOST_FOR_A_VERDICT) })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::estimate::stratified::Spread;

    fn plots(value: f64, jackknife: f64, plots: usize, cluster: f64) -> Stratified {
        let (n, variance) = (count(plots), jackknife);
        let spread = (plots > 1).then_some(Spread { variance, jackknife, df: n - 1.0 });
        let sampling = Sampling { trials: n * cluster, plots: n, cluster, sampled: 0.0 };
        Stratified { value, spread, plots, strata: 1, single: 0, census: false, sampling }
    }

    /// Clopper and Pearson for 20/(1 + 19 · 0.2) = 4.1667 stems, all alive: 0.05^(1/4.1667) = 0.4873 (by hand).
    #[test]
    fn one_plot_is_worth_few_stems() {
        let Limits { interval, cautious } = of_stems(&plots(1.0, 0.0, 1, 20.0), 0.9);
        assert!(
            (interval.0 - libm::pow(0.05, 1.0 / (20.0 / 4.8))).abs() < 1e-9 && interval.1 == 1.0,
            "{interval:?}"
        );
        assert!(cautious.0 < interval.0);
        assert_eq!(of_ground(&plots(0.4, 0.0, 1, 1.0), 0.9), None);
    }

    /// Twenty and nineteen of twenty alive is no worse than nineteen and nineteen.
    #[test]
    fn one_stem_more_alive_does_not_lower_the_limit() {
        let agree = of_stems(&plots(0.95, 0.0, 2, 20.0), 0.9).interval;
        let differ = of_stems(&plots(0.975, 0.000_625, 2, 20.0), 0.9).interval;
        assert!(differ.0 > agree.0, "{agree:?} {differ:?}");
    }

    #[test]
    fn a_verdict_needs_more_than_an_interval() {
        for (value, jackknife) in
            [(0.95, 0.0), (0.95, 0.001), (0.5, 0.01), (0.02, 0.000_1), (0.0, 0.0), (1.0, 0.0)]
        {
            for limits in [
                of_stems(&plots(value, jackknife, 8, 20.0), 0.9),
                of_ground(&plots(value, jackknife, 8, 1.0), 0.9).unwrap(),
            ] {
                let (interval, cautious) = (limits.interval, limits.cautious);
                assert!(
                    interval.0 <= value && value <= interval.1 && interval.0 < interval.1,
                    "{value} {interval:?}"
                );
                assert!(cautious.0 <= value && cautious.1 >= interval.1 - 1e-12, "{value} {limits:?}");
            }
        }
    }

    /// Nothing seen in ten plots: 1 − 0.05^(1/10) = 0.2589 (by hand).
    #[test]
    fn nothing_seen_is_worth_as_many_plots() {
        let limits = of_ground(&plots(0.0, 0.0, 10, 1.0), 0.9).unwrap().interval;
        assert!(limits.0 == 0.0 && (limits.1 - 0.258_866).abs() < 1e-6, "{limits:?}");
    }
}
