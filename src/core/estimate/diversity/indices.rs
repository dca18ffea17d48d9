//! Indices of counts, or of anything that stands for them.

/// Species with at least one individual.
#[must_use]
pub fn richness(counts: &[u64]) -> usize {
    counts.iter().filter(|&&count| count > 0).count()
}

/// Shannon's index, natural logarithm: `H = −Σ p ln p`. `None` where nothing was counted.
///
/// # Reference
/// Shannon (1948), *Bell Syst. Tech. J.* 27:379-423; Magurran (2004), *Measuring Biological Diversity*.
#[must_use]
pub fn shannon(counts: &[u64]) -> Option<f64> {
    shares(counts).map(|shares| -shares.map(|p| p * libm::log(p)).sum::<f64>())
}

/// Simpson's index of diversity: `1 − Σ p²`. `None` where nothing was counted.
///
/// # Reference
/// Simpson (1949), *Nature* 163:688.
#[must_use]
pub fn simpson(counts: &[u64]) -> Option<f64> {
    shares(counts).map(|shares| 1.0 - shares.map(|p| p * p).sum::<f64>())
}

/// Evenness: `J = H / ln S`. `None` with fewer than two species.
///
/// # Reference
/// Pielou (1966), *J. Theor. Biol.* 13:131-144.
#[must_use]
pub fn evenness(counts: &[u64]) -> Option<f64> {
    let species = richness(counts);
    let even = libm::log(number(species));
    shannon(counts).filter(|_| species > 1).map(|shannon| shannon / even)
}

/// The share of each species that is there.
#[allow(clippy::cast_precision_loss, reason = "no survey counts 2^53 stems")]
fn shares(counts: &[u64]) -> Option<impl Iterator<Item = f64>> {
    let total: u64 = counts.iter().sum();
    let there = counts.iter().filter(|&&count| count > 0);
    (total > 0).then(|| there.map(move |&count| count as f64 / total as f64))
}

#[allow(clippy::cast_precision_loss, reason = "no list holds 2^53 species")]
pub(crate) fn number(count: usize) -> f64 {
    count as f64
}
