//! R, rainfall erosivity: given, from the two-year six-hour storm, from daily rain; from yearly rain only when asked.

use crate::{
    estimate::{
        Gap, Method,
        erosion::{DailyRain, Factor},
    },
    project::Soil,
    source::Sources,
    units::{Erosivity, Millimetres, number},
};

/// Error of ln R of a published long-term value: a year's erosivity strays so far from the mean that the interval of the
/// mean is 25 to 40 % wide (Govers et al. 1999).
pub(crate) const SIGMA_GIVEN: f64 = 0.20;

/// Error of ln R by the two-year six-hour intensity (judgement).
pub(crate) const SIGMA_INTENSITY: f64 = 0.40;

/// Error of ln R by yearly rain: 50 % uncalibrated at 28 Australian stations.
pub(crate) const SIGMA_ANNUAL: f64 = 0.60;

/// Intensities for which the relation stands, mm/h (judgement).
pub(crate) const INTENSITIES: std::ops::RangeInclusive<f64> = 2.0..=30.0;

/// Scale, base and power of the relation with the intensity of the two-year six-hour storm.
pub(crate) const STORM: [f64; 3] = [164.74, 1.1177, 0.6444];

/// Erosivity from the intensity of the two-year six-hour storm, in mm/h.
///
/// # Equation
/// R = a × b^I × I^c, MJ.mm/(ha.h.yr).
///
/// # Assumption
/// Fitted in New South Wales. The two-year storm is the one of 39 % yearly chance, not the tabulated 50 %.
///
/// # Reference
/// Rosewell and Turner (1992), *Rainfall erosivity in New South Wales*, CaLM Technical Report 20.
#[must_use]
pub fn two_year_six_hour(mm_per_h: f64) -> Erosivity {
    let [scale, base, power] = STORM;
    Erosivity(scale * libm::pow(base, mm_per_h) * libm::pow(mm_per_h, power))
}

/// A relation between yearly rain and erosivity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Annual {
    /// Renard and Freimund (1994), *Using monthly precipitation data to estimate the R-factor in the revised USLE*, Journal
    /// of Hydrology 157:287-306: the continental United States; runs away above 1 500 mm.
    RenardFreimund,
    /// Yu and Rosewell (1996), *A robust estimator of the R-factor for the universal soil loss equation*, Transactions of
    /// the ASAE 39:559-561: south-eastern Australia.
    YuRosewell,
}

/// Yearly rain up to which the relation of Renard and Freimund is a power, mm; its scale and power, and the polynomial above.
pub(crate) const RENARD_FREIMUND: (f64, [f64; 2], [f64; 3]) =
    (850.0, [0.0483, 1.61], [587.8, -1.219, 0.004105]);

/// Scale and power of the relation of Yu and Rosewell.
pub(crate) const YU_ROSEWELL: [f64; 2] = [0.0438, 1.61];

/// Erosivity from mean yearly rain: the last resort, never a default.
///
/// # Equations
/// a P^b; of Renard and Freimund up to a break, a + b P + c P² above.
#[must_use]
pub fn annual(relation: Annual, rain: Millimetres) -> Erosivity {
    let p = rain.0;
    let (to, low, [a, b, c]) = RENARD_FREIMUND;
    let power = |[scale, power]: [f64; 2]| scale * libm::pow(p, power);
    Erosivity(match relation {
        Annual::YuRosewell => power(YU_ROSEWELL),
        Annual::RenardFreimund if p <= to => power(low),
        Annual::RenardFreimund => a + b * p + c * p * p,
    })
}

/// R by the first way that the folder allows: the value given, then twenty years or more of daily rain, then the two-year
/// six-hour storm, then a shorter record.
///
/// # Errors
/// None of them is there, or what is there lies outside its range.
pub fn erosivity(
    soil: &Soil,
    daily: Result<&DailyRain, &Gap>,
    settings: &Sources,
) -> Result<Factor<Erosivity>, Gap> {
    if let Some(given) = soil.erosivity {
        if given <= 0.0 || !given.is_finite() {
            return Err(Gap::OutOfRange(format!("an erosivity of {}", number(given, 0))));
        }
        return Ok(doubted(Factor::new(
            Erosivity(given),
            SIGMA_GIVEN,
            Method::EROSIVITY_GIVEN,
            settings.clone(),
        )));
    }
    let long = daily.ok().filter(|daily| daily.is_long());
    if let (None, Some(intensity)) = (long, soil.rain_2y_6h_mm_per_h) {
        if !INTENSITIES.contains(&intensity) {
            return Err(Gap::OutOfRange(format!(
                "a two-year six-hour intensity of {} mm/h, outside 2 to 30",
                number(intensity, 1)
            )));
        }
        let r = two_year_six_hour(intensity);
        let factor = Factor::new(r, SIGMA_INTENSITY, Method::EROSIVITY_INTENSITY, settings.clone());
        return Ok(doubted(factor.note(
            "fitted in New South Wales; elsewhere in eastern Australia its use is common practice, beyond it is extrapolation",
        )));
    }
    match (long, daily) {
        (Some(daily), _) | (None, Ok(daily)) => Ok(doubted(daily.factor())),
        (None, Err(Gap::TableMissing(_))) => Err(Gap::NoErosivity),
        (None, Err(gap)) => Err(gap.clone()),
    }
}

/// R from mean yearly rain, for who asks for it.
///
/// # Errors
/// The rain is not a depth.
pub fn from_annual(relation: Annual, rain: Millimetres, sources: Sources) -> Result<Factor<Erosivity>, Gap> {
    if !(rain.0 > 0.0 && rain.0.is_finite()) {
        return Err(Gap::OutOfRange(format!("yearly rain of {} mm", number(rain.0, 0))));
    }
    let factor = Factor::new(annual(relation, rain), SIGMA_ANNUAL, Method::EROSIVITY_ANNUAL, sources);
    Ok(doubted(
        factor.note(
            "from yearly rain alone, the last resort: two published relations differ by 40 % at 1 500 mm",
        ),
    ))
}

fn doubted(factor: Factor<Erosivity>) -> Factor<Erosivity> {
    if Soil::EROSIVITIES.contains(&factor.value.0) {
        return factor;
    }
    let r = number(factor.value.0, 0);
    factor.note(format!("an erosivity of {r} is outside 300 to 20 000, where values are found; check it"))
}
