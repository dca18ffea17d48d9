//! How many species a smaller survey would have found, so that surveys of different size can be compared.

/// Species expected in `size` of `total` units, where `counts` tells how many of the units hold each species. Units are stems, and
/// then the counts add up to their total, or plots. `None` where more are drawn than there are.
///
/// # Equation
/// Σ [1 − C(N − x, n) / C(N, n)].
/// # Reference
/// Hurlbert (1971), *Ecology* 52:577-586, for stems; Colwell, Mao and Chang (2004), *Ecology* 85:2717-2727, for plots.
#[must_use]
pub fn rarefied(counts: &[u64], total: u64, size: u64) -> Option<f64> {
    if size > total {
        return None;
    }
    let all = ln_choose(total, size);
    let seen = counts.iter().filter(|&&count| count > 0).map(|&count| match total.saturating_sub(count) {
        rest if rest < size => 1.0,
        rest => 1.0 - libm::exp(ln_choose(rest, size) - all),
    });
    Some(seen.sum())
}

/// Natural logarithm of the number of ways to choose `of` from `all`.
fn ln_choose(all: u64, of: u64) -> f64 {
    ln_factorial(all) - ln_factorial(of) - ln_factorial(all - of)
}

#[allow(clippy::cast_precision_loss, reason = "no survey counts 2^53 stems")]
fn ln_factorial(of: u64) -> f64 {
    libm::lgamma(of as f64 + 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_whole_sample_holds_every_species_and_one_stem_holds_one() {
        let counts = [5, 3, 0, 1];
        assert!((rarefied(&counts, 9, 9).unwrap_or(0.0) - 3.0).abs() < 1e-9);
        assert!((rarefied(&counts, 9, 1).unwrap_or(0.0) - 1.0).abs() < 1e-9);
        assert_eq!(rarefied(&counts, 9, 10), None);
    }
}
