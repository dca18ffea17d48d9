//! A measured stock carried forward by a published curve of growth.

use chrono::{NaiveDate, TimeDelta};

use crate::{
    estimate::{Estimate, Finding, Gap, Interval, Method, carbon::growth::Growth},
    project::Planting,
    units::{CarbonDioxide, number},
};

/// A stand's age, years.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Age(pub f64);

impl Age {
    /// The age after some more time.
    #[must_use]
    #[allow(clippy::cast_precision_loss, reason = "no calendar holds 2^53 days")]
    pub fn later(self, time: TimeDelta) -> Age {
        Age(self.0 + time.num_days() as f64 / YEAR)
    }
}

/// Days of a year.
const YEAR: f64 = 365.25;

/// Younger stands are not carried forward: their curve is all but vertical, and a small error of now is a great one of then.
const YOUNGEST: f64 = 3.0;

/// Mean age on `day` of the stems that were planted before it; `None` where none were.
#[must_use]
#[allow(clippy::cast_precision_loss, reason = "no folder holds 2^53 stems")]
pub fn age<'a>(plantings: impl Iterator<Item = &'a Planting>, day: NaiveDate) -> Option<Age> {
    let (mut stems, mut days) = (0.0, 0.0);
    for planting in plantings.filter(|planting| planting.date <= day) {
        stems += planting.stems.0 as f64;
        days += planting.stems.0 as f64 * (day - planting.date).num_days() as f64;
    }
    (stems > 0.0).then(|| Age(days / stems / YEAR))
}

/// The `stock` of a stand of age `now`, carried to the age `then`; `fastest` is the age of fastest growth, likely, least and
/// greatest, and `most` what the ground comes to hold.
///
/// # Equations and sources
/// [`Method::CARBON_PROJECTION`].
///
/// # Errors
/// The stand is too young.
pub fn projection(
    stock: &Estimate<CarbonDioxide>,
    now: Age,
    then: Age,
    fastest: [f64; 3],
    most: Option<CarbonDioxide>,
) -> Finding<CarbonDioxide> {
    if now.0 < YOUNGEST {
        return Err(Gap::OutOfRange(format!(
            "a stand of {} years; it wants {YOUNGEST} or more",
            number(now.0, 1)
        )));
    }
    let capped = |mass: f64| CarbonDioxide(most.map_or(mass, |most| mass.min(most.0.max(stock.value.0))));
    let carried = |mass: f64, fastest: f64| Growth { fastest }.carried(mass, now.0, then.0);
    let (low, high) = stock.interval.map_or((stock.value, stock.value), |ends| (ends.low, ends.high));
    let ends = |mass: CarbonDioxide| fastest.map(|fastest| carried(mass.0, fastest));
    let (low, high) =
        (ends(low).into_iter().fold(f64::INFINITY, f64::min), ends(high).into_iter().fold(0.0, f64::max));
    let mut projection = Estimate::counted(
        capped(carried(stock.value.0, fastest[0])),
        Method::CARBON_PROJECTION,
        stock.sources.clone(),
    );
    let confidence = stock.interval.map_or(f64::NAN, |interval| interval.confidence);
    if confidence.is_finite() {
        projection.interval = Some(Interval { low: capped(low), high: capped(high), confidence });
    }
    let projection = projection.note("a projection, not a measurement").note(format!(
        "from {} years of age to {}; fastest growth at {} years, band from {} to {}",
        number(now.0, 1),
        number(then.0, 1),
        number(fastest[0], 0),
        number(fastest[1], 0),
        number(fastest[2], 0)
    ));
    Ok(match most {
        Some(_) => projection.note("no more than what the site is taken to hold in the end"),
        None => projection.note("not capped, because the most that the site can hold was not given"),
    })
}
