//! L × S of slopes measured one by one.

use crate::{
    estimate::{
        Gap, Method,
        erosion::{
            Factor, Rill, Steepness, clamped, exponent,
            ls_grid::{sigma, steep_notes},
            short_steepness,
        },
        ratio::count,
    },
    project::{AreaId, MeasuredSlope},
    units::{Degrees, Metres, PercentSlope},
};

/// Horizontal length of the unit plot, m.
pub(crate) const UNIT_PLOT_METRES: f64 = 22.13;

/// Length of a slope below which drops do all the work, and that at which they begin to, m: 15 ft and 3 ft.
const SHORT: (f64, f64) = (4.572, 0.9144);

/// Slopes gentler than this have no short form, per cent.
const SHORT_FROM_PERCENT: f64 = 9.0;

/// Longest slope before water gathers in channels, m: 400 ft (AH-703, p. 104).
pub(crate) const LONGEST: f64 = 122.0;

/// Length of a slope whose length was not measured, m (judgement; L grows by 1.41 with each doubling where m = 0.5).
pub(crate) const LENGTH_NOT_MEASURED: f64 = 60.0;

/// L × S of a plane slope of horizontal length `length`, as the tables of AH-703 have it.
///
/// # Equation
/// (λ / 22.13)^m S. Below 4.57 m: gentler than 9 %, as at 4.57 m; else between L × S at 4.57 m and the short form, 3 sin^0.8 θ +
/// 0.56, at 0.91 m, by straight lines in logarithms (found on the table's own 60 short cells, all of which it gives).
///
/// # Reference
/// Renard et al. (1997), USDA Agriculture Handbook 703, eqs. 4-1 to 4-6, tables 4-1 to 4-3.
#[must_use]
pub fn ls_table(slope: Degrees, length: Metres, rill: Rill, steepness: Steepness) -> f64 {
    let m = exponent(slope, rill);
    let s = steepness.factor(slope);
    if length.0 >= SHORT.0 {
        return s * libm::pow(length.0 / UNIT_PLOT_METRES, m);
    }
    // 15 ft over 72.6 ft, as the tables were made.
    let at_short = libm::pow(15.0 / 72.6, m);
    let high = s * at_short;
    if PercentSlope::from(slope).0 < SHORT_FROM_PERCENT {
        return high;
    }
    let low = short_steepness(slope) * at_short;
    if length.0 <= SHORT.1 {
        return low;
    }
    let part = libm::log(length.0 / SHORT.1) / libm::log(SHORT.0 / SHORT.1);
    libm::exp(libm::log(low) + part * (libm::log(high) - libm::log(low)))
}

/// L × S of `area` from slopes measured with a clinometer: the mean over its readings, never L × S of their mean.
///
/// A length taped along the ground is made horizontal, a length that was not measured counts as 60 m, and none counts as more
/// than 122 m. Slopes steeper than 55 % count as 55 %.
///
/// # Errors
/// No slope was measured, or most are too steep for the equation.
pub fn ls_measured(
    slopes: &[MeasuredSlope],
    area: &AreaId,
    rill: Rill,
    steepness: Steepness,
) -> Result<Factor<f64>, Gap> {
    let here: Vec<&MeasuredSlope> = slopes.iter().filter(|slope| &slope.area == area).collect();
    if here.is_empty() {
        return Err(Gap::NoSlope);
    }
    let readings = count(here.len());
    let mut ls = 0.0;
    let (mut without, mut longer, mut steep) = (0usize, 0usize, 0usize);
    for reading in &here {
        let held = clamped(reading.slope);
        steep += usize::from(held.0 < reading.slope.0);
        without += usize::from(reading.length.is_none());
        let length = reading.length.map_or(LENGTH_NOT_MEASURED, |taped| taped.0 * reading.slope.cos());
        longer += usize::from(length > LONGEST);
        ls += ls_table(held, Metres(length.min(LONGEST)), rill, steepness);
    }
    let clamped_share = count(steep) / readings;
    if clamped_share > 0.5 {
        return Err(Gap::TooSteep);
    }
    let mean = here.iter().map(|reading| reading.slope.0).sum::<f64>() / readings;
    let sources = here.iter().map(|reading| &reading.source).collect();
    let mut factor =
        Factor::new(ls / readings, sigma(mean, clamped_share), Method::SLOPE_FACTOR_MEASURED, sources);
    if without > 0 {
        factor = factor.note(format!("{without} of {} slopes have no length; 60 m was taken", here.len()));
    }
    if longer > 0 {
        factor = factor
            .note(format!("{longer} of {} slopes are longer than 122 m and count as 122 m", here.len()));
    }
    factor.notes.extend(steep_notes(mean, clamped_share, steepness));
    Ok(factor)
}
