//! Carbon, on a hectare and as the gas it would make.

/// Carbon on a plan hectare, in t C/ha.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct CarbonPerHectare(pub f64);

/// Carbon as carbon dioxide, in t CO2e.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct CarbonDioxide(pub f64);

/// Mass of carbon dioxide over that of the carbon in it: 44/12, by the molar masses of the IPCC's guidelines.
pub const DIOXIDE_FROM_CARBON: f64 = 44.0 / 12.0;
