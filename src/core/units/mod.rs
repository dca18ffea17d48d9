//! Quantities, their signs and how many digits each is printed with.
//!
//! A bare `f64` never crosses a room's border where mixing two units would hurt. Conversions live here and nowhere else.

mod carbon;
mod days;
mod figures;
mod listed;
mod money;
mod sign;
mod slope;
mod soil;

pub use carbon::{CarbonDioxide, CarbonPerHectare, DIOXIDE_FROM_CARBON};
pub use days::{day, day_for_month, span};
pub use figures::{as_written, number, percent, set_percent, whole};
pub use listed::listed;
pub use money::Money;
pub use sign::Unit;
pub use slope::{Degrees, PercentSlope};
pub use soil::{
    ERODIBILITY_FROM_US, EROSIVITY_FROM_US, Erodibility, Erosivity, Millimetres, SoilLoss, TonnesPerYear,
};

/// A length on the map plane or along a geodesic, in metres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Metres(pub f64);

/// A plan (horizontal) area, in square metres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct SquareMetres(pub f64);

/// A plan (horizontal) area, in hectares.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Hectares(pub f64);

/// An area along the ground, in hectares; never less than the plan area beneath it.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct GroundHectares(pub f64);

/// Living stems on a plan hectare.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct StemsPerHectare(pub f64);

/// A count of stems.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Stems(pub u64);

/// A count of anything else, such as species, photo points or rows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Count(pub u64);

/// Working time, in hours (each person's hours added up).
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Hours(pub f64);

/// A part of a whole, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Share(f64);

impl Share {
    /// The share `part`; `None` outside 0 to 1 and for a value that is not a number.
    #[must_use]
    pub fn new(part: f64) -> Option<Share> {
        (0.0..=1.0).contains(&part).then_some(Share(part))
    }

    /// The share nearest to `part`, for a computed bound that rounding may have carried a hair past an end.
    #[must_use]
    pub fn nearest(part: f64) -> Share {
        Share(if part.is_nan() { 0.0 } else { part.clamp(0.0, 1.0) })
    }

    /// The share as a number from 0 to 1.
    #[must_use]
    pub fn part(self) -> f64 {
        self.0
    }
}

/// Part by which stated and drawn hectares may differ without a word (common practice, no source).
const STATED: f64 = 0.05;

/// Whether ground that is stated as so many hectares is drawn as clearly more or fewer.
#[must_use]
pub fn differ(stated: f64, drawn: f64) -> bool {
    (stated - drawn).abs() > STATED * drawn
}

impl From<SquareMetres> for Hectares {
    fn from(area: SquareMetres) -> Self {
        Hectares(area.0 / 10_000.0)
    }
}

impl From<Hectares> for SquareMetres {
    fn from(area: Hectares) -> Self {
        SquareMetres(area.0 * 10_000.0)
    }
}
