//! The spread of an index that is no mean, from leaving out one plot at a time.

use crate::estimate::ratio::count;

/// Variance of an index over `plots` plots, of which `without` gives the value with one plot left out; `None` with fewer than two
/// plots, or where the index can't be had without one of them.
///
/// # Equation
/// (n − 1)/n · Σ (I₋ᵢ − Ī)², I₋ᵢ the index of all plots but the i-th and Ī their mean.
/// # Assumption
/// The plot is the sampling unit: stems of one plot share its soil, its frost and its seed.
/// # Reference
/// Zahl (1977), *Ecology* 58:907-913; Heltshe and Forrester (1985), *Ecology* 66:107-111.
#[must_use]
pub fn jackknife(plots: usize, without: impl Fn(usize) -> Option<f64>) -> Option<f64> {
    let n = count(plots);
    let without: Vec<f64> = (0..plots).map(without).collect::<Option<_>>()?;
    let mean = without.iter().sum::<f64>() / n;
    let squares: f64 = without.iter().map(|one| (one - mean) * (one - mean)).sum();
    (plots > 1).then_some(squares * (n - 1.0) / n)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of a mean, the jackknife gives the textbook variance s²/n, whatever the numbers.
    #[test]
    fn of_a_mean_it_is_the_variance_of_the_mean() {
        let numbers: [f64; 5] = [3.0, 8.0, 4.0, 1.0, 9.0];
        let without = |left: usize| Some((25.0 - numbers[left]) / 4.0);
        let expected = numbers.iter().map(|x| (x - 5.0) * (x - 5.0)).sum::<f64>() / 4.0 / 5.0;
        assert!((jackknife(5, without).unwrap() - expected).abs() < 1e-12);
        assert_eq!(jackknife(1, without), None);
    }
}
