//! The interval of a median, from the order of the readings alone.

use statrs::function::beta::checked_beta_reg;

/// Ranks (counted from 1) of the readings that bound the median of `n` readings; `None` where `n` is too small.
///
/// # Equation
/// The largest r with P(X ≤ r − 1) ≤ α/2 for X ~ Binomial(n, ½); the bounds are the r-th smallest and the r-th largest.
/// # Assumption
/// Readings are independent of one another; nothing about the shape of their distribution.
/// # Reference
/// Conover (1999), *Practical Nonparametric Statistics*, 3rd ed., section 3.2; Hahn & Meeker (1991),
/// *Statistical Intervals*, section 5.2.
#[must_use]
pub fn median_ranks(n: usize, confidence: f64) -> Option<(usize, usize)> {
    let tail = (1.0 - confidence) / 2.0;
    let (mut holds, mut fails) = (0, n / 2 + 1);
    while holds + 1 < fails {
        let rank = usize::midpoint(holds, fails);
        if at_most(rank - 1, n) <= tail { holds = rank } else { fails = rank }
    }
    (holds > 0).then(|| (holds, n + 1 - holds))
}

/// P(X ≤ k) for X ~ Binomial(n, ½), as a regularised incomplete beta function.
#[allow(clippy::cast_precision_loss, reason = "no folder holds 2^53 readings")]
fn at_most(k: usize, n: usize) -> f64 {
    if k >= n {
        return 1.0;
    }
    checked_beta_reg((n - k) as f64, k as f64 + 1.0, 0.5).unwrap_or(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Conover (1999), table A3 of binomial sums: n = 16 has P(X ≤ 4) = 0.0384 and P(X ≤ 3) = 0.0106, so the
    /// 90 % ranks are 5 and 12, the 95 % ranks 4 and 13; with n = 4 even the extremes hold only 87.5 %.
    #[test]
    fn ranks_match_the_binomial_table() {
        assert_eq!(median_ranks(16, 0.90), Some((5, 12)));
        assert_eq!(median_ranks(16, 0.95), Some((4, 13)));
        assert_eq!(median_ranks(5, 0.90), Some((1, 5)));
        assert_eq!(median_ranks(4, 0.90), None);
        assert_eq!(median_ranks(0, 0.90), None);
    }

    /// For large n the ranks tend to n/2 ∓ z √n / 2 (normal approximation, Conover 1999).
    #[test]
    fn a_million_readings_are_no_trouble() {
        let (low, high) = median_ranks(1_000_000, 0.95).unwrap();
        assert!(low.abs_diff(500_000 - 980) <= 1, "{low}");
        assert_eq!(low + high, 1_000_001);
    }
}
