//! Errors joined in closed form, and the stock that caution would claim.

/// Relative uncertainty of a product of independent factors: √Σ U².
///
/// # Reference
/// IPCC (2006), *Guidelines for National Greenhouse Gas Inventories*, volume 1, chapter 3, equation 3.1.
#[must_use]
pub fn of_product(parts: &[f64]) -> f64 {
    parts.iter().map(|part| part * part).sum::<f64>().sqrt()
}

/// Relative uncertainty of a sum of independent terms, each a value with its relative uncertainty: √Σ (U x)² / |Σ x|.
///
/// # Reference
/// The same, equation 3.2.
#[must_use]
pub fn of_sum(terms: &[(f64, f64)]) -> f64 {
    let absolute: Vec<f64> = terms.iter().map(|(value, part)| value * part).collect();
    of_product(&absolute) / terms.iter().map(|(value, _)| value).sum::<f64>().abs()
}

/// The part of the half-width of a 90 % interval that is taken off a stock, by how large that half-width is beside the mean.
///
/// # Reference
/// CDM Executive Board, A/R methodological tool 14, version 4.2, appendix (as remembered).
#[must_use]
pub fn taken_off(relative_half_width: f64) -> f64 {
    match relative_half_width {
        u if u <= 0.10 => 0.0,
        u if u <= 0.15 => 0.25,
        u if u <= 0.20 => 0.50,
        u if u <= 0.30 => 0.75,
        _ => 1.0,
    }
}
