//! Erosivity from daily rain, for eastern Australia.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use crate::{
    estimate::{Gap, Method, erosion::Factor},
    project::RainDay,
    source::Sources,
    units::{Erosivity, Millimetres},
};

/// Power of a day's rain.
pub(crate) const BETA: f64 = 1.49;

/// Seasonal swing: a day's rain in January does 1.29 / 0.71 times what it does in July.
pub(crate) const ETA: f64 = 0.29;

/// Days with no more rain than this do nothing, mm.
pub(crate) const THRESHOLD_MM: f64 = 12.7;

/// Complete years that are wanted, that a figure without doubt needs, and below which none is given (20: Lu and Yu 2002; the
/// rest judgement).
const YEARS: [usize; 3] = [20, 10, 5];

/// A month with more missing days than this is left out (judgement).
const MISSING_DAYS: u32 = 2;

/// Error of ln R by daily rain over twenty years: daily relations strayed by 36 % after calibration.
pub(crate) const SIGMA: f64 = 0.35;

/// Scale, share and rate of the scale of a day's erosivity, for a threshold of 12.7 mm.
pub(crate) const ALPHA: [f64; 3] = [0.395, 0.098, 3.26];

/// Scale of a day's erosivity by `psi`, the part of the year's rain that falls from November to April.
///
/// # Equation
/// α = a (1 + b exp(c ψ)), for a threshold of 12.7 mm.
///
/// # Reference
/// Yu (1998), *Rainfall erosivity and its estimation for Australia's tropics*, Australian Journal of Soil Research 36:143-165;
/// Lu and Yu (2002), *Spatial and seasonal distribution of rainfall erosivity in Australia*, same 40:887-901. The constants stand
/// as remembered, their sources could not be read again.
#[must_use]
pub fn alpha(psi: f64) -> f64 {
    let [scale, share, rate] = ALPHA;
    scale * (1.0 + share * libm::exp(rate * psi))
}

/// Erosivity of a day with `rain` in `month` (1 to 12).
///
/// # Equation
/// α (1 + η cos(2π j / 12 − π / 6)) r^β for r > 12.7 mm, else 0; the peak lies in January, as in the south.
#[must_use]
pub fn day_erosivity(alpha: f64, month: u32, rain: Millimetres) -> f64 {
    if rain.0 <= THRESHOLD_MM {
        return 0.0;
    }
    let turn = std::f64::consts::TAU * f64::from(month) / 12.0 - std::f64::consts::FRAC_PI_6;
    alpha * (1.0 + ETA * libm::cos(turn)) * libm::pow(rain.0, BETA)
}

/// Mean erosivity of each month, January first.
pub type MonthlyErosivity = [f64; 12];

/// What daily rain says.
#[derive(Debug, Clone, PartialEq)]
pub struct DailyRain {
    /// R, the sum of the months.
    pub erosivity: Erosivity,
    /// Mean erosivity of each month; their shares also weight the cover of the seasons.
    pub months: MonthlyErosivity,
    /// Calendar years in the record.
    pub years: usize,
    /// Months left out for missing days.
    pub months_left_out: usize,
    /// Part of the year's rain that falls from November to April.
    pub psi: f64,
    sources: Sources,
}

impl DailyRain {
    /// Whether the record is as long as is wanted.
    #[must_use]
    pub fn is_long(&self) -> bool {
        self.years >= YEARS[0]
    }

    pub(crate) fn factor(&self) -> Factor<Erosivity> {
        let mut factor = Factor::new(self.erosivity, SIGMA, Method::EROSIVITY_DAILY, self.sources.clone())
            .note(format!("from daily rain of {} calendar years", self.years))
            .note("calibrated for eastern Australia; its constants stand as remembered and want checking against the papers");
        if self.years < YEARS[1] {
            factor = factor.note("fewer than ten years of rain tell little of the long run");
        }
        if self.months_left_out > 0 {
            factor = factor.note(format!(
                "{} months with more than {MISSING_DAYS} days missing are left out",
                self.months_left_out
            ));
        }
        factor
    }
}

/// Erosivity from daily rain at a site of latitude `latitude` (degrees, south negative).
///
/// Only whole calendar years count. A month with more than two days missing is left out and its mean taken over the other
/// years. Rain from many days read as one must be left out before.
///
/// # Equation
/// R = Σⱼ mean over years of Σ days α (1 + η cos(2π j / 12 − π / 6)) r^β.
///
/// # Errors
/// The record is too short, or the site lies outside eastern Australia's hemisphere.
pub fn daily_erosivity(rain: &[RainDay], latitude: f64) -> Result<DailyRain, Gap> {
    if latitude > 0.0 {
        return Err(Gap::OutOfRange(
            "daily rain north of the equator: the relation is calibrated in eastern Australia".to_owned(),
        ));
    }
    let months = by_month(rain);
    let years: Vec<i32> = whole_years(&months);
    if years.len() < YEARS[2] {
        return Err(Gap::TooFewYears { have: years.len(), need: YEARS[2] });
    }
    let within = |year: &i32| years.contains(year);
    let counted: Vec<(&(i32, u32), &Month)> = months
        .iter()
        .filter(|((year, month), found)| within(year) && found.missing(*year, *month) <= MISSING_DAYS)
        .collect();
    let all: f64 = counted.iter().map(|(_, month)| month.total).sum();
    let summer = |month: u32| !(5..=10).contains(&month);
    let wet: f64 =
        counted.iter().filter(|((_, month), _)| summer(*month)).map(|(_, found)| found.total).sum();
    if all <= 0.0 {
        return Err(Gap::NothingToDivideBy("rain"));
    }
    let psi = wet / all;
    let scale = alpha(psi);
    let mut means = [0.0; 12];
    for (mean, number) in means.iter_mut().zip(1u32..) {
        let of_month: Vec<&Month> =
            counted.iter().filter(|((_, month), _)| *month == number).map(|(_, found)| *found).collect();
        if of_month.is_empty() {
            return Err(Gap::OutOfRange(format!("a record in which month {number} never has all its days")));
        }
        let sum: f64 = of_month
            .iter()
            .flat_map(|month| &month.days)
            .map(|(_, rain)| day_erosivity(scale, number, *rain))
            .sum();
        *mean = sum / f64::from(u32::try_from(of_month.len()).unwrap_or(u32::MAX));
    }
    Ok(DailyRain {
        erosivity: Erosivity(means.iter().sum()),
        months: means,
        years: years.len(),
        months_left_out: years.len() * 12 - counted.len(),
        psi,
        sources: rain.iter().filter(|day| within(&day.date.year())).map(|day| &day.source).collect(),
    })
}

/// The days of one month that have a reading.
#[derive(Debug, Clone, Default)]
struct Month {
    days: BTreeMap<u32, Millimetres>,
    total: f64,
}

impl Month {
    fn missing(&self, year: i32, month: u32) -> u32 {
        let days = NaiveDate::from_ymd_opt(year, month, 1)
            .and_then(|first| first.checked_add_months(chrono::Months::new(1)))
            .and_then(|next| next.pred_opt())
            .map_or(31, |last| last.day());
        days - u32::try_from(self.days.len()).unwrap_or(days).min(days)
    }
}

fn by_month(rain: &[RainDay]) -> BTreeMap<(i32, u32), Month> {
    let mut months: BTreeMap<(i32, u32), Month> = BTreeMap::new();
    for day in rain {
        let Some(mm) = day.mm else { continue };
        let month = months.entry((day.date.year(), day.date.month())).or_default();
        if month.days.insert(day.date.day(), mm).is_none() {
            month.total += mm.0;
        }
    }
    months
}

/// Years that have readings in every month.
fn whole_years(months: &BTreeMap<(i32, u32), Month>) -> Vec<i32> {
    let mut years: BTreeMap<i32, u32> = BTreeMap::new();
    for (year, _) in months.keys() {
        *years.entry(*year).or_default() += 1;
    }
    years.into_iter().filter(|(_, months)| *months == 12).map(|(year, _)| year).collect()
}
