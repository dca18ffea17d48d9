//! The ratio of two sums over plots, with the spread between plots as its only yardstick.

/// What one plot gives: a part and the whole it is a part of, such as stems alive and stems set, or stems and hectares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// The part.
    pub part: f64,
    /// The whole.
    pub whole: f64,
}

/// A ratio of sums over plots.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ratio {
    /// Σ part / Σ whole.
    pub value: f64,
    /// Plots.
    pub plots: usize,
    /// Mean whole of a plot.
    pub mean_whole: f64,
    /// Σ e², with e = part − value · whole.
    pub residual: f64,
    /// Jackknife variance, nothing being known of the population's size; 0 for one plot.
    pub jackknife: f64,
    /// Σ whole² / Σ whole: how large the plot is in which a trial finds itself.
    pub cluster: f64,
}

/// Ratio of the sums of `pairs`; `None` where the wholes add up to nothing.
///
/// # Equation
/// r = Σ aᵢ / Σ mᵢ; eᵢ = aᵢ − r mᵢ; v(r) = (1 − f) / (n m̄²) · Σ eᵢ² / (n − 1), n − 1 degrees of freedom. Leaving out one plot after the
/// other, v_J = (n − 1)/n · Σ (eᵢ / (Σ m − mᵢ))², the same where plots are of one size and larger where the large ones differ most.
/// # Assumption
/// Plots were placed without regard to what stands in them; f is the part of the population that they hold.
/// # Reference
/// Cochran (1977), *Sampling Techniques*, 3rd ed., section 3.12 and chapter 6; of the jackknife, its section 6.17.
#[must_use]
pub fn ratio(pairs: &[Pair]) -> Option<Ratio> {
    let part: f64 = pairs.iter().map(|pair| pair.part).sum();
    let whole: f64 = pairs.iter().map(|pair| pair.whole).sum();
    if whole <= 0.0 {
        return None;
    }
    let value = part / whole;
    let error = |pair: &Pair| pair.part - value * pair.whole;
    let residual = pairs.iter().map(|pair| square(error(pair))).sum();
    let n = count(pairs.len());
    // A plot that holds all there is of the whole can't be left out.
    let without = |pair: &&Pair| pair.whole < whole * (1.0 - 1e-9);
    let left_out = pairs.iter().filter(without).map(|pair| square(error(pair) / (whole - pair.whole)));
    let jackknife = (n - 1.0) / n * left_out.sum::<f64>();
    let cluster = pairs.iter().map(|pair| square(pair.whole)).sum::<f64>() / whole;
    Some(Ratio { value, plots: pairs.len(), mean_whole: whole / n, residual, jackknife, cluster })
}

impl Ratio {
    /// Variance of residuals between plots; `None` for one plot.
    #[must_use]
    pub fn spread(&self) -> Option<f64> {
        (self.plots > 1).then(|| self.residual / (count(self.plots) - 1.0))
    }

    /// Variance of the ratio, given the variance of residuals between plots and the part `sampled` of the population.
    #[must_use]
    pub fn variance(&self, spread: f64, sampled: f64) -> f64 {
        (1.0 - sampled.clamp(0.0, 1.0)) * spread / (count(self.plots) * square(self.mean_whole))
    }
}

fn square(x: f64) -> f64 {
    x * x
}

/// A number of plots as a floating-point number.
#[allow(clippy::cast_precision_loss, reason = "no folder holds 2^53 plots")]
pub(crate) fn count(plots: usize) -> f64 {
    plots as f64
}
