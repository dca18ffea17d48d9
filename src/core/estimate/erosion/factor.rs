//! A factor of the equation with the error of its logarithm.

use crate::{
    estimate::{Estimate, Interval, Method, Quantity, interval::quantile},
    source::Sources,
};

/// A factor of the equation.
#[derive(Debug, Clone, PartialEq)]
pub struct Factor<Q> {
    /// The factor.
    pub value: Q,
    /// Standard error of its natural logarithm.
    pub sigma: f64,
    /// The part of that error which every area has alike, because a statement, a reader or an equation made it; at most `sigma`.
    pub common: f64,
    /// How it was worked out.
    pub method: Method,
    /// The rows it came from.
    pub sources: Sources,
    /// What a reader must know.
    pub notes: Vec<String>,
}

impl<Q: Quantity> Factor<Q> {
    /// A factor without notes.
    pub fn new(value: Q, sigma: f64, method: Method, sources: Sources) -> Factor<Q> {
        Factor { value, sigma, common: 0.0, method, sources, notes: Vec::new() }
    }

    /// The same with as much of its error as `common` allows shared by all areas.
    #[must_use]
    pub fn in_common(mut self, common: f64) -> Factor<Q> {
        self.common = common.clamp(0.0, self.sigma.max(0.0));
        self
    }

    /// The part of the error that is this area's own: with the common part it makes up the whole.
    #[must_use]
    pub fn own(&self) -> f64 {
        (self.sigma * self.sigma - self.common * self.common).max(0.0).sqrt()
    }

    /// The same with one more note.
    #[must_use]
    pub fn note(mut self, note: impl Into<String>) -> Factor<Q> {
        self.notes.push(note.into());
        self
    }

    /// The factor as a figure, with limits at `confidence`: value × exp(±z σ).
    #[must_use]
    pub fn estimate(&self, confidence: f64, quantity: fn(f64) -> Q) -> Estimate<Q> {
        Estimate {
            value: self.value,
            interval: limits(self.value.number(), self.sigma, confidence, quantity),
            sample: None,
            cautious: None,
            method: self.method,
            sources: self.sources.clone(),
            notes: self.notes.clone(),
        }
    }
}

/// Limits of a log-normal quantity; none where nothing is said of its error.
pub(crate) fn limits<Q>(
    value: f64,
    sigma: f64,
    confidence: f64,
    quantity: fn(f64) -> Q,
) -> Option<Interval<Q>> {
    if sigma <= 0.0 || !sigma.is_finite() {
        return None;
    }
    let reach = libm::exp(quantile::normal(quantile::upper(confidence)) * sigma);
    Some(Interval { low: quantity(value / reach), high: quantity(value * reach), confidence })
}

/// Standard error of a product's logarithm: √Σσᵢ².
pub(crate) fn joined(sigmas: &[f64]) -> f64 {
    sigmas.iter().map(|sigma| sigma * sigma).sum::<f64>().sqrt()
}
