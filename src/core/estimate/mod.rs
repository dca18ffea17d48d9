//! Estimators: pure functions from the project to a quantity with its interval, its method and the rows it came from.
//!
//! An estimate is never bare, and a number that can't be given is a [`Gap`] with its reason.

pub mod accounts;
pub mod attributes;
pub mod carbon;
pub mod chance;
pub mod condition;
pub mod cover;
pub mod density;
pub mod diameter;
pub mod diversity;
pub mod erosion;
pub mod ground;
pub mod height;
pub mod interval;
pub mod joined;
pub mod lifetime;
pub mod measured;
pub mod money;
pub mod photos;
pub mod plantings;
pub mod plots_needed;
pub mod promises;
pub mod rain;
pub mod ratio;
pub mod shared_receipts;
pub mod sightings;
pub mod site;
pub mod sites;
pub mod slope;
pub mod sources;
pub mod strata;
pub mod stratified;
pub mod survival;
pub mod tagged;
pub mod terrain;
pub mod trend;
pub mod visit;
pub mod works;

mod gap;
mod method;

use crate::{
    project::Period,
    source::Sources,
    units::{
        CarbonDioxide, CarbonPerHectare, Count, Degrees, Erodibility, Erosivity, GroundHectares, Hectares,
        Hours, Metres, Millimetres, Money, Share, SoilLoss, Stems, StemsPerHectare, TonnesPerYear,
    },
};

pub use crate::units::listed;
pub use gap::Gap;
pub use method::Method;

/// A quantity that the ledger can hold: its number in the ledger's unit.
pub trait Quantity: Copy {
    /// The number that stands in the ledger.
    fn number(self) -> f64;
}

/// A two-sided interval about an estimate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval<Q> {
    /// Lower end.
    pub low: Q,
    /// Upper end.
    pub high: Q,
    /// Two-sided confidence level, such as 0.90.
    pub confidence: f64,
}

/// What an estimate rests on that speaks of more than was looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Plots that were looked at.
    pub plots: usize,
    /// The first and the last day of the round of survey.
    pub round: Period,
    /// The part of the ground, or of the stems planted, that the plots stand for: 1 where no area was left out.
    pub part: f64,
}

/// An estimate with everything that an auditor asks of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Estimate<Q> {
    /// The quantity.
    pub value: Q,
    /// Its interval; absent where the figure is a count or a census, or where nothing tells how far off it may be.
    pub interval: Option<Interval<Q>>,
    /// The survey that it rests on; absent where everything was counted.
    pub sample: Option<Sample>,
    /// The interval that a verdict has to hold to, where it is another: with plots as clustered as patchy losses make them.
    pub cautious: Option<Interval<Q>>,
    /// How it was worked out.
    pub method: Method,
    /// The rows it came from.
    pub sources: Sources,
    /// What a reader must know, each a sentence without its full stop.
    pub notes: Vec<String>,
}

impl<Q> Estimate<Q> {
    /// A count, a sum or a measurement: no interval.
    pub fn counted(value: Q, method: Method, sources: Sources) -> Estimate<Q> {
        Estimate { value, interval: None, sample: None, cautious: None, method, sources, notes: Vec::new() }
    }

    /// The same with one more note.
    #[must_use]
    pub fn note(mut self, note: impl Into<String>) -> Estimate<Q> {
        self.notes.push(note.into());
        self
    }
}

/// What an estimator gives.
pub type Finding<Q> = Result<Estimate<Q>, Gap>;

macro_rules! quantity {
    ($($name:ident: $number:expr),* $(,)?) => { $(impl Quantity for $name {
        fn number(self) -> f64 { let number: fn($name) -> f64 = $number; number(self) }
    })* };
}

#[allow(clippy::cast_precision_loss, reason = "no folder holds 2^53 stems")]
mod quantities {
    use super::*;
    quantity! {
        Hectares: |q| q.0,
        GroundHectares: |q| q.0,
        Metres: |q| q.0,
        Degrees: |q| q.0,
        Millimetres: |q| q.0,
        Erosivity: |q| q.0,
        Erodibility: |q| q.0,
        SoilLoss: |q| q.0,
        TonnesPerYear: |q| q.0,
        Share: |q| q.part(),
        Stems: |q| q.0 as f64,
        StemsPerHectare: |q| q.0,
        CarbonPerHectare: |q| q.0,
        CarbonDioxide: |q| q.0,
        Hours: |q| q.0,
        Count: |q| q.0 as f64,
        Money: |q| q.number(),
        f64: |q| q,
    }
}
