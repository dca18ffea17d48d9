//! The ratio of two totals over plots: the plot is the sampling unit, the stems or square metres in it are its elements.

/// What one plot gives to a ratio.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cluster {
    /// The upper total's part: stems alive, stems counted, points hit.
    pub hits: f64,
    /// The lower total's part: stems set, square metres, points read.
    pub size: f64,
}

/// A ratio over plots.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ratio {
    /// `Σ hits / Σ size`.
    pub value: f64,
    /// Its variance; `None` with one plot.
    pub variance: Option<f64>,
    /// Plots.
    pub plots: usize,
    /// `Σ hits`.
    pub hits: f64,
    /// `Σ size`.
    pub size: f64,
}

/// The ratio over `clusters`, of which `sampled` is the share of the whole that they make. `None` where nothing has a size.
///
/// `p = Σa / Σm`, `e = a − p m`, `v = (1 − f) / (n m̄²) · Σe² / (n − 1)`.
///
/// # Reference
/// Cochran (1977), *Sampling Techniques*, 3rd ed., ch. 3 s. 12 and ch. 6.
#[must_use]
pub fn ratio(clusters: &[Cluster], sampled: f64) -> Option<Ratio> {
    let (hits, size) = clusters.iter().fold((0.0, 0.0), |(hits, size), c| (hits + c.hits, size + c.size));
    if size <= 0.0 {
        return None;
    }
    let (value, n) = (hits / size, number(clusters.len()));
    let squares: f64 = clusters.iter().map(|c| (c.hits - value * c.size) * (c.hits - value * c.size)).sum();
    let mean = size / n;
    let left = (1.0 - sampled).clamp(0.0, 1.0);
    let variance = (clusters.len() > 1).then(|| left / (n * mean * mean) * squares / (n - 1.0));
    Some(Ratio { value, variance, plots: clusters.len(), hits, size })
}

#[allow(clippy::cast_precision_loss, reason = "no survey has 2^53 plots")]
pub(super) fn number(count: usize) -> f64 {
    count as f64
}
