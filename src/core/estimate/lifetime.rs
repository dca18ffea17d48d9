//! The share of tagged stems that live past each age.
//!
//! A stem found dead died somewhere between two visits. Where every stem is seen at the same visits, the curve at the
//! visits is the maximum-likelihood one, and the place of its steps between visits means nothing.

use std::collections::BTreeMap;

/// One tagged stem.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Life {
    /// Time from planting to the last visit, or to the visit at which it was found dead.
    pub time: f64,
    /// Whether it was found dead; if not, it was alive when last seen.
    pub died: bool,
}

/// One step of the curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// When.
    pub time: f64,
    /// Stems that could die.
    pub at_risk: usize,
    /// Stems that did.
    pub died: usize,
    /// Share living past this time.
    pub survival: f64,
    /// Greenwood's standard error of the share; `None` where no stem is left.
    pub error: Option<f64>,
    /// Greenwood's sum `Σ d / (n (n − d))`.
    sum: f64,
}

impl Step {
    /// Interval on the log(−log) scale, which stays within 0 and 1, `z` standard normal deviates wide on each side.
    /// `None` where the share is 0 or 1.
    ///
    /// # Reference
    /// Kalbfleisch and Prentice (2002), *The Statistical Analysis of Failure Time Data*, ch. 1.
    #[must_use]
    pub fn interval(&self, z: f64) -> Option<(f64, f64)> {
        self.error.filter(|_| self.survival < 1.0)?;
        let half = z * libm::sqrt(self.sum) / libm::log(self.survival);
        // The logarithm is negative, so the upper exponent gives the lower end.
        let end = |side: f64| libm::pow(self.survival, libm::exp(side * half));
        Some((end(-1.0), end(1.0)))
    }
}

/// The product-limit curve: a step at each time at which a stem died. A stem last seen alive at a time counts as at risk
/// for a death at that time.
///
/// # Method
/// `S(t) = Π (1 − d/n)`; standard error by Greenwood's formula. Stems of one plot share its luck, so the error is too
/// small where plots differ; test targets with the ratio estimate over plots.
/// # Reference
/// Kaplan and Meier (1958), *J. Am. Stat. Assoc.* 53:457-481; Greenwood (1926).
#[must_use]
pub fn curve(lives: &[Life]) -> Vec<Step> {
    let mut lives: Vec<Life> = lives.iter().copied().filter(|life| life.time.is_finite()).collect();
    lives.sort_by(|a, b| a.time.total_cmp(&b.time));
    let (mut steps, mut survival, mut sum, mut at) = (Vec::new(), 1.0, 0.0, 0);
    while at < lives.len() {
        let time = lives[at].time;
        let together = lives[at..].iter().take_while(|life| life.time == time);
        let (here, died) =
            together.fold((0, 0), |(here, died), life| (here + 1, died + usize::from(life.died)));
        let at_risk = lives.len() - at;
        at += here;
        if died == 0 {
            continue;
        }
        let (n, d) = (number(at_risk), number(died));
        survival *= 1.0 - d / n;
        let left = died < at_risk;
        if left {
            sum += d / (n * (n - d));
        }
        let error = left.then(|| survival * libm::sqrt(sum));
        steps.push(Step { time, at_risk, died, survival, error, sum });
    }
    steps
}

/// Variance of the share that lives past `time` by how the plots of `lives` differ, and its degrees of freedom; `None` for one plot, or where
/// no stem is left.
///
/// # Equation
/// v = S² n/(n − 1) Σ u², u the sum over a plot's stems and over the steps up to then of (δ − y d/n)/(n − d), δ whether the stem died at the
/// step and y whether it was at risk. Where every stem stands alone it is Greenwood's but for n/(n − 1).
/// # Reference
/// Williams (1995), *Product-limit survival functions with correlated survival times*, Lifetime Data Analysis 1:171-186; of one time,
/// *Biometrics* 51:1548.
#[must_use]
pub fn between_plots<K: Ord>(lives: &[(K, Life)], steps: &[Step], time: f64) -> Option<(f64, f64)> {
    let steps: Vec<&Step> = steps.iter().take_while(|step| step.time <= time).collect();
    let left = |step: &Step| number(step.at_risk - step.died);
    if steps.iter().any(|step| step.at_risk == step.died) {
        return None;
    }
    let survival = steps.last().map_or(1.0, |step| step.survival);
    let mut plots: BTreeMap<&K, f64> = BTreeMap::new();
    for (plot, life) in lives {
        let reached = steps.partition_point(|step| step.time <= life.time);
        let expected = |step: &&Step| number(step.died) / number(step.at_risk) / left(step);
        let met: f64 = steps.iter().take(reached).map(expected).sum();
        let last = reached.checked_sub(1).and_then(|last| steps.get(last));
        let died =
            last.filter(|step| life.died && step.time >= life.time).map_or(0.0, |step| 1.0 / left(step));
        *plots.entry(plot).or_default() += died - met;
    }
    let n = number(plots.len());
    let variance = survival * survival * n / (n - 1.0) * plots.values().map(|sum| sum * sum).sum::<f64>();
    (plots.len() > 1).then_some((variance, n - 1.0))
}

#[allow(clippy::cast_precision_loss, reason = "no survey tags 2^53 stems")]
fn number(count: usize) -> f64 {
    count as f64
}
