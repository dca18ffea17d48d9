//! Where a value and the ends of its interval lie on a strip from 0 to 1.

use schemars::JsonSchema;
use serde::Serialize;

use hillfolio_core::ledger::{FigureId, Ledger};

/// A value and its interval on a strip.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub(crate) struct Ends {
    pub(crate) low: f64,
    pub(crate) value: f64,
    pub(crate) high: f64,
}

impl Ends {
    /// Those of a share, on the whole; `None` where there is none.
    pub(crate) fn of_share(ledger: &Ledger, id: &FigureId) -> Option<Ends> {
        let figure = ledger.figure(id.as_str())?;
        let (low, high) = figure.interval.map_or((figure.value, figure.value), |ends| (ends.low, ends.high));
        let within = |share: f64| share.clamp(0.0, 1.0);
        Some(Ends { low: within(low), value: within(figure.value), high: within(high) })
    }
}
