//! Rain and soil loss, in the units of the soil loss equation.

/// A depth of rain, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Millimetres(pub f64);

/// Rainfall erosivity R, in MJ.mm/(ha.h.yr).
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Erosivity(pub f64);

/// Soil erodibility K, in t.ha.h/(ha.MJ.mm).
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Erodibility(pub f64);

/// Soil lost from a plan hectare in a year, in t/(ha.yr).
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct SoilLoss(pub f64);

/// Soil lost or kept in a year, in t/yr.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct TonnesPerYear(pub f64);

/// US customary erosivity (hundreds of foot-tonf inch/(acre.h.yr)) to SI: Foster et al. (1981), *Conversion of the universal soil
/// loss equation to SI metric units*, Journal of Soil and Water Conservation 36:355-359.
pub const EROSIVITY_FROM_US: f64 = 17.02;

/// US customary erodibility to SI: Foster et al. (1981), as above.
pub const ERODIBILITY_FROM_US: f64 = 0.1317;
