//! Separate ratio estimates of strata, put together by known weights.

use crate::estimate::ratio::{Pair, Ratio, count, ratio};

/// One stratum: its weight, the part of it that was sampled, its plots.
#[derive(Debug, Clone, PartialEq)]
pub struct Stratum {
    /// Weight in any unit, such as stems planted or plan hectares.
    pub weight: f64,
    /// Part of the stratum's population that its plots hold, 0 to 1; 0 where it is not known or small.
    pub sampled: f64,
    /// What its plots gave.
    pub plots: Vec<Pair>,
}

/// The estimate over all strata.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stratified {
    /// Σ W r.
    pub value: f64,
    /// Its variance and degrees of freedom; `None` where it rests on one plot.
    pub spread: Option<Spread>,
    /// Plots used.
    pub plots: usize,
    /// Strata used.
    pub strata: usize,
    /// Strata with a single plot, whose spread was taken from the others.
    pub single: usize,
    /// Whether every stratum was counted whole.
    pub census: bool,
    /// How large the sample is.
    pub sampling: Sampling,
}

/// How large a sample is, by what it would be worth without strata, finite populations and plots of many sizes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sampling {
    /// Trials, such as stems set: 1 / Σ W²(1 − f)/m, m the wholes of a stratum's plots.
    pub trials: f64,
    /// Plots: 1 / Σ W²(1 − f)/n.
    pub plots: f64,
    /// Trials in the plot in which a trial finds itself: Σ m² / Σ m over all plots.
    pub cluster: f64,
    /// Part of the population that was looked at: Σ W f.
    pub sampled: f64,
}

/// How far an estimate may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Variance.
    pub variance: f64,
    /// Variance by the jackknife over plots.
    pub jackknife: f64,
    /// Degrees of freedom.
    pub df: f64,
}

/// Weighted sum of the ratios of `strata`; `None` where no stratum has a ratio or the weights add up to nothing.
///
/// # Equation
/// r = Σ W r_h, W the weight over the sum of weights; v = Σ W² v(r_h);
/// degrees of freedom (Σ g)² / Σ g²/(n_h − 1) with g = W² v(r_h).
/// # Assumption
/// A stratum with one plot shows no spread of its own: it is given the residual variance pooled over the other
/// strata or, where none has two plots, that of all plots taken together about the joint ratio, which overstates it.
/// # Reference
/// Cochran (1977), *Sampling Techniques*, 3rd ed., sections 5.4, 5A.12 (single units) and 6.10 (separate ratio);
/// Satterthwaite (1946), *Biometrics Bulletin* 2:110-114.
#[must_use]
pub fn separate_ratio(strata: &[Stratum]) -> Option<Stratified> {
    let known: Vec<(&Stratum, Ratio)> =
        strata.iter().filter_map(|stratum| Some((stratum, ratio(&stratum.plots)?))).collect();
    let total: f64 = known.iter().map(|(stratum, _)| stratum.weight).sum();
    if known.is_empty() || total <= 0.0 {
        return None;
    }
    let value = known.iter().map(|(stratum, ratio)| stratum.weight / total * ratio.value).sum();
    Some(Stratified {
        value,
        spread: spread(&known, total, value),
        plots: known.iter().map(|(_, ratio)| ratio.plots).sum(),
        strata: known.len(),
        single: known.iter().filter(|(_, ratio)| ratio.plots == 1).count(),
        census: known.iter().all(|(stratum, _)| stratum.sampled >= 1.0),
        sampling: sampling(&known, total),
    })
}

fn sampling(known: &[(&Stratum, Ratio)], total: f64) -> Sampling {
    let share = |stratum: &Stratum| {
        let weight = stratum.weight / total;
        weight * weight * (1.0 - stratum.sampled.clamp(0.0, 1.0))
    };
    let over = |of: fn(&Ratio) -> f64| {
        1.0 / known.iter().map(|(stratum, ratio)| share(stratum) / of(ratio)).sum::<f64>()
    };
    let whole = |ratio: &Ratio| count(ratio.plots) * ratio.mean_whole;
    let wholes: f64 = known.iter().map(|(_, ratio)| whole(ratio)).sum();
    Sampling {
        trials: over(|ratio| count(ratio.plots) * ratio.mean_whole),
        plots: over(|ratio| count(ratio.plots)),
        cluster: known.iter().map(|(_, ratio)| ratio.cluster * whole(ratio)).sum::<f64>() / wholes,
        sampled: known
            .iter()
            .map(|(stratum, _)| stratum.weight / total * stratum.sampled.clamp(0.0, 1.0))
            .sum(),
    }
}

fn spread(known: &[(&Stratum, Ratio)], total: f64, value: f64) -> Option<Spread> {
    let several = || known.iter().filter(|(_, ratio)| ratio.plots > 1);
    let freedom: f64 = several().map(|(_, ratio)| count(ratio.plots) - 1.0).sum();
    let pooled = if freedom > 0.0 {
        several().map(|(_, ratio)| ratio.residual).sum::<f64>() / freedom
    } else {
        collapsed(known, value)?
    };
    let share = |stratum: &Stratum, ratio: &Ratio| {
        let weight = stratum.weight / total;
        weight * weight * ratio.variance(ratio.spread().unwrap_or(pooled), stratum.sampled)
    };
    let variance = known.iter().map(|(stratum, ratio)| share(stratum, ratio)).sum();
    let jackknife = |(stratum, ratio): &(&Stratum, Ratio)| match ratio.plots {
        1 => share(stratum, ratio),
        _ => {
            let weight = stratum.weight / total;
            weight * weight * (1.0 - stratum.sampled.clamp(0.0, 1.0)) * ratio.jackknife
        }
    };
    let jackknife = known.iter().map(jackknife).sum();
    let (sum, of_squares) = several().fold((0.0, 0.0), |(sum, of_squares), (stratum, ratio)| {
        let g = share(stratum, ratio);
        (sum + g, of_squares + g * g / (count(ratio.plots) - 1.0))
    });
    let df = match (freedom > 0.0, of_squares > 0.0) {
        (true, true) => sum * sum / of_squares,
        (true, false) => freedom,
        (false, _) => count(known.len()) - 1.0,
    };
    Some(Spread { variance, jackknife, df })
}

/// Variance of residuals of plots that each stand alone in their stratum, about the joint ratio; `None` for one plot.
fn collapsed(known: &[(&Stratum, Ratio)], value: f64) -> Option<f64> {
    let plots = known.iter().flat_map(|(stratum, _)| &stratum.plots);
    let residual: f64 = plots.map(|pair| pair.part - value * pair.whole).map(|e| e * e).sum();
    (known.len() > 1).then(|| residual / (count(known.len()) - 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stratum(weight: f64, plots: &[(f64, f64)]) -> Stratum {
        let plots = plots.iter().map(|&(part, whole)| Pair { part, whole }).collect();
        Stratum { weight, sampled: 0.0, plots }
    }

    #[test]
    fn one_plot_has_no_spread_and_a_census_says_so() {
        let mut only = stratum(1.0, &[(8.0, 10.0)]);
        assert_eq!(separate_ratio(std::slice::from_ref(&only)).unwrap().spread, None);
        only.sampled = 1.0;
        assert!(separate_ratio(&[only]).unwrap().census);
        assert_eq!(separate_ratio(&[]), None);
    }

    #[test]
    fn a_single_plot_borrows_the_spread_of_the_others() {
        let pair = [(8.0, 10.0), (9.0, 10.0)];
        let joint = separate_ratio(&[stratum(1.0, &pair), stratum(1.0, &[(7.0, 10.0)])]).unwrap();
        let spread = joint.spread.unwrap();
        // s² = 0.5 from the pair; v = ¼ · 0.5/(2·100) + ¼ · 0.5/100.
        assert!((spread.variance - (0.25 * 0.0025 + 0.25 * 0.005)).abs() < 1e-15);
        assert!((spread.df - 1.0).abs() < 1e-12);
        assert_eq!(joint.single, 1);
    }

    #[test]
    fn plots_alone_in_their_strata_are_taken_together() {
        let joint = separate_ratio(&[stratum(1.0, &[(9.0, 10.0)]), stratum(1.0, &[(7.0, 10.0)])]).unwrap();
        let spread = joint.spread.unwrap();
        // About 0.8: residuals 1 and −1, s² = 2; v = ¼ · 2/100 twice.
        assert!((spread.variance - 0.01).abs() < 1e-15);
        assert!((spread.df - 1.0).abs() < 1e-12);
    }
}
