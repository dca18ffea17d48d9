//! The unit that stands beside a figure, its sign on paper and the digits it deserves.

use std::fmt;

/// The unit of a figure in the ledger.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Unit {
    /// Plan hectares.
    Hectares,
    /// Hectares along the ground.
    GroundHectares,
    /// Metres.
    Metres,
    /// A height or a spacing, in metres: printed to the centimetre.
    Height,
    /// Millimetres, of rain.
    Millimetres,
    /// Degrees of slope.
    Degrees,
    /// Rainfall erosivity.
    Erosivity,
    /// Soil erodibility.
    Erodibility,
    /// Cover factor of soil loss.
    CoverFactor,
    /// Soil lost from a plan hectare in a year.
    SoilLoss,
    /// Soil in a year.
    TonnesPerYear,
    /// Carbon on a plan hectare.
    CarbonPerHectare,
    /// Carbon as carbon dioxide.
    CarbonDioxide,
    /// A part of a whole, printed as per cent.
    Fraction,
    /// Stems.
    Stems,
    /// Stems on a plan hectare.
    StemsPerHectare,
    /// Species.
    Species,
    /// Hours of work.
    Hours,
    /// Things counted.
    Count,
    /// Money, in the currency with this ISO 4217 code.
    Currency(String),
    /// A pure number, such as an index.
    Number,
    /// A unit as it was written in the works log.
    AsRecorded(String),
}

impl Unit {
    /// The unit as it stands in `figures.json` and `figures.csv`.
    #[must_use]
    pub fn code(&self) -> &str {
        match self {
            Unit::Hectares => "ha",
            Unit::GroundHectares => "ha on the ground",
            Unit::Metres | Unit::Height => "m",
            Unit::Millimetres => "mm",
            Unit::Degrees => "deg",
            Unit::Erosivity => "MJ.mm/(ha.h.yr)",
            Unit::Erodibility => "t.ha.h/(ha.MJ.mm)",
            Unit::SoilLoss => "t/(ha.yr)",
            Unit::TonnesPerYear => "t/yr",
            Unit::CarbonPerHectare => "t C/ha",
            Unit::CarbonDioxide => "t CO2e",
            Unit::Fraction => "fraction",
            Unit::Stems => "stems",
            Unit::StemsPerHectare => "stems/ha",
            Unit::Species => "species",
            Unit::Hours => "h",
            Unit::Count => "count",
            Unit::Number | Unit::CoverFactor => "1",
            Unit::Currency(code) => code,
            Unit::AsRecorded(unit) => unit,
        }
    }

    /// The unit that is written as `code`. Where several are, the one with the most digits.
    #[must_use]
    pub fn of_code(code: &str) -> Unit {
        match code {
            "ha" => Unit::Hectares,
            "ha on the ground" => Unit::GroundHectares,
            "m" => Unit::Height,
            "mm" => Unit::Millimetres,
            "deg" => Unit::Degrees,
            "MJ.mm/(ha.h.yr)" => Unit::Erosivity,
            "t.ha.h/(ha.MJ.mm)" => Unit::Erodibility,
            "t/(ha.yr)" => Unit::SoilLoss,
            "t/yr" => Unit::TonnesPerYear,
            "t C/ha" => Unit::CarbonPerHectare,
            "t CO2e" => Unit::CarbonDioxide,
            "fraction" => Unit::Fraction,
            "stems" => Unit::Stems,
            "stems/ha" => Unit::StemsPerHectare,
            "species" => Unit::Species,
            "h" => Unit::Hours,
            "count" => Unit::Count,
            "1" => Unit::CoverFactor,
            other if other.len() == 3 && other.bytes().all(|letter| letter.is_ascii_uppercase()) => {
                Unit::Currency(other.to_owned())
            }
            other => Unit::AsRecorded(other.to_owned()),
        }
    }

    /// Digits behind the decimal point on paper. Fractions are printed as per cent with this many digits.
    #[must_use]
    pub fn decimals(&self) -> usize {
        match self {
            Unit::Hectares
            | Unit::GroundHectares
            | Unit::Height
            | Unit::CarbonPerHectare
            | Unit::Currency(_)
            | Unit::Number => 2,
            Unit::Erodibility | Unit::CoverFactor => 3,
            Unit::CarbonDioxide
            | Unit::Degrees
            | Unit::Fraction
            | Unit::Hours
            | Unit::SoilLoss
            | Unit::AsRecorded(_) => 1,
            Unit::Erosivity
            | Unit::TonnesPerYear
            | Unit::Metres
            | Unit::Millimetres
            | Unit::Stems
            | Unit::StemsPerHectare
            | Unit::Species
            | Unit::Count => 0,
        }
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}
