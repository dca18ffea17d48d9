//! Figures as they stand on paper: rounded once, with their unit.

use std::fmt;

use crate::{
    ledger::Figure,
    units::{Unit, number},
};

/// `value` with `unit` as it stands on paper, such as `87.1 %`, `1,234 stems/ha` or `AUD 18,400.00`.
#[must_use]
pub fn value_text(value: f64, unit: &Unit) -> String {
    signed(digits(value, unit), unit)
}

/// The same with a given number of digits behind the point.
pub(crate) fn with_decimals(value: f64, unit: &Unit, decimals: usize) -> String {
    signed(bare(value, unit, decimals), unit)
}

/// Digits with the unit's sign before or behind them.
fn signed(bare: String, unit: &Unit) -> String {
    match unit {
        Unit::Fraction => format!("{bare}\u{a0}%"),
        Unit::Currency(code) => format!("{code}\u{a0}{bare}"),
        Unit::Degrees => format!("{bare}°"),
        Unit::Count | Unit::Number | Unit::CoverFactor => bare,
        Unit::AsRecorded(unit) if unit.is_empty() => bare,
        Unit::GroundHectares => format!("{bare}\u{a0}ha"),
        unit => format!("{bare}\u{a0}{}", unit.code()),
    }
}

/// The digits alone, in per cent for a fraction.
fn bare(value: f64, unit: &Unit, decimals: usize) -> String {
    number(if *unit == Unit::Fraction { value * 100.0 } else { value }, decimals)
}

/// What stands for a soil loss below 1 t/(ha.yr): there twin plots differ by more than their mean.
const LITTLE: &str = "under 1";

/// The digits that a figure deserves.
fn digits(value: f64, unit: &Unit) -> String {
    match unit {
        // A quantity was written down whole, or with its own digits.
        Unit::AsRecorded(_) if value.fract() == 0.0 => bare(value, unit, 0),
        Unit::SoilLoss if value < 1.0 => LITTLE.to_owned(),
        Unit::SoilLoss | Unit::TonnesPerYear => significant(value, 2.0),
        Unit::CarbonDioxide if value.abs() >= 100.0 => significant(value, 3.0),
        unit => bare(value, unit, unit.decimals()),
    }
}

/// `value` to some significant figures: estimates of soil are known to two, stocks of carbon to three at the most.
fn significant(value: f64, figures: f64) -> String {
    let size = value.abs();
    if size < 0.1 {
        return number(value, 2);
    }
    let place = |size: f64| libm::floor(libm::log10(size * (1.0 + 1e-9)));
    let last = libm::pow(10.0, place(size) + 1.0 - figures);
    let rounded = (value / last).round() * last;
    let behind = figures - 1.0 - place(rounded.abs());
    number(
        rounded,
        (0..2).find(|&decimals| f64::from(decimals) >= behind).map_or(2, |decimals| decimals as usize),
    )
}

impl Figure {
    /// The value with its unit, such as `87.1 %`.
    #[must_use]
    pub fn text(&self) -> String {
        value_text(self.value, &self.unit)
    }

    /// The digits alone, for a column whose heading says the unit; a share keeps its sign.
    #[must_use]
    pub fn number_text(&self) -> String {
        kept(digits(self.value, &self.unit), &self.unit)
    }

    /// The interval's digits alone, such as `83.2–91.0 %`; `None` for a count or a census.
    #[must_use]
    pub fn bounds_text(&self) -> Option<String> {
        let interval = self.interval?;
        let (low, high) = (digits(interval.low, &self.unit), digits(interval.high, &self.unit));
        let both = match (low.as_str(), high.as_str()) {
            (LITTLE, LITTLE) => high,
            (LITTLE, high) => format!("{LITTLE} to {high}"),
            // A dash beside a minus sign is misread.
            (low, high) if low.starts_with(['-', '−']) => format!("{low} to {high}"),
            (low, high) => format!("{low}–{high}"),
        };
        Some(kept(both, &self.unit))
    }

    /// The interval with its unit, such as `83.2–91.0 %` or `AUD 1.00–2.00`; `None` for a count or a census.
    #[must_use]
    pub fn interval_text(&self) -> Option<String> {
        let bounds = self.bounds_text()?;
        Some(if self.unit == Unit::Fraction { bounds } else { signed(bounds, &self.unit) })
    }
}

/// Digits in a column whose heading says the unit: a share alone keeps its sign.
fn kept(digits: String, unit: &Unit) -> String {
    if *unit == Unit::Fraction { signed(digits, unit) } else { digits }
}

impl fmt::Display for Figure {
    /// The value and its interval, such as `87.1 % (83.2–91.0 %)`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text())?;
        match self.interval_text() {
            Some(interval) => write!(f, " ({interval})"),
            None => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        estimate::{Interval, Method},
        source::Sources,
    };

    fn figure(value: f64, unit: Unit, ends: Option<(f64, f64)>) -> String {
        let interval = ends.map(|(low, high)| Interval { low, high, confidence: 0.9 });
        let (method, sources) = (Method::SUM, Sources::default());
        let figure = Figure {
            label: String::new(),
            value,
            unit,
            interval,
            sample: None,
            cautious: None,
            method,
            sources,
            notes: Vec::new(),
        };
        figure.to_string().replace('\u{a0}', " ")
    }

    #[test]
    fn figures_are_printed_with_their_unit() {
        assert_eq!(figure(0.871, Unit::Fraction, Some((0.832, 0.91))), "87.1 % (83.2–91.0 %)");
        let change = figure(-0.049, Unit::Fraction, Some((-0.075, -0.023)));
        assert_eq!(change, "−4.9 % (−7.5 to −2.3 %)");
        assert_eq!(figure(1234.4, Unit::StemsPerHectare, None), "1,234 stems/ha");
        assert_eq!(figure(18400.0, Unit::Currency("AUD".into()), None), "AUD 18,400.00");
        assert_eq!(figure(-150.0, Unit::Currency("AUD".into()), None), "AUD −150.00");
        let cost = figure(3.0, Unit::Currency("AUD".into()), Some((2.5, 3.5)));
        assert_eq!(cost, "AUD 3.00 (AUD 2.50–3.50)");
        assert_eq!(figure(18.0, Unit::Degrees, None), "18.0°");
        assert_eq!(figure(0.84, Unit::Height, Some((0.6, 1.0))), "0.84 m (0.60–1.00 m)");
        assert_eq!(figure(2000.0, Unit::AsRecorded("stems".into()), None), "2,000 stems");
        assert_eq!(figure(1.25, Unit::AsRecorded("km".into()), None), "1.2 km");
    }

    #[test]
    fn soil_has_two_figures() {
        let loss = |value| figure(value, Unit::SoilLoss, None);
        assert_eq!(loss(123.4), "120 t/(ha.yr)");
        assert_eq!(loss(21.6), "22 t/(ha.yr)");
        assert_eq!((loss(9.96), loss(9.94)), ("10 t/(ha.yr)".to_owned(), "9.9 t/(ha.yr)".to_owned()));
        assert_eq!(loss(0.999), "under 1 t/(ha.yr)");
        assert_eq!(
            figure(3.46, Unit::SoilLoss, Some((0.4, 12.3))),
            "3.5 t/(ha.yr) (under 1 to 12 t/(ha.yr))"
        );
        assert_eq!(figure(0.5, Unit::SoilLoss, Some((0.2, 0.9))), "under 1 t/(ha.yr) (under 1 t/(ha.yr))");
        assert_eq!(figure(-1_449.0, Unit::TonnesPerYear, None), "−1,400 t/yr");
        assert_eq!(figure(0.456, Unit::TonnesPerYear, None), "0.46 t/yr");
        assert_eq!(figure(9.96, Unit::TonnesPerYear, None), "10 t/yr");
        let stock = figure(1_114.4, Unit::CarbonDioxide, Some((97.26, 2_184.6)));
        assert_eq!(stock, "1,110 t CO2e (97.3–2,180 t CO2e)");
        assert_eq!(figure(0.0, Unit::TonnesPerYear, None), "0.00 t/yr");
    }
}
