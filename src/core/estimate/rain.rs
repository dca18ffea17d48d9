//! Rain of the period, against other years, after plantings; dry spells.

use std::{collections::BTreeMap, ops::RangeInclusive};

use chrono::{Datelike, Days, NaiveDate};

use crate::{
    estimate::{Estimate, Finding, Gap, Method, ratio::count},
    project::RainDay,
    source::Row,
    units::{Count, Millimetres, span},
};

/// Days after a planting whose rain is counted: eight weeks.
pub(crate) const AFTER_PLANTING: u64 = 56;

/// Years that a median needs.
const YEARS: usize = 10;

/// Share of a year's days that may be missing in the median.
pub(crate) const MISSING: f64 = 0.05;

/// A day with less rain than this is dry, mm.
pub(crate) const WET_DAY_MM: f64 = 1.0;

/// Rain by day, and the rows that say so; of a day that stands twice the first counts.
fn by_day<'a>(rain: &'a [RainDay], days: &RangeInclusive<NaiveDate>) -> BTreeMap<NaiveDate, (f64, &'a Row)> {
    let mut read = BTreeMap::new();
    for day in rain.iter().filter(|day| days.contains(&day.date)) {
        if let Some(mm) = day.mm {
            read.entry(day.date).or_insert((mm.0, &day.source));
        }
    }
    read
}

fn length(days: &RangeInclusive<NaiveDate>) -> usize {
    usize::try_from((*days.end() - *days.start()).num_days() + 1).unwrap_or(0)
}

fn sum(rain: &[RainDay], days: &RangeInclusive<NaiveDate>, method: Method) -> Finding<Millimetres> {
    let read = by_day(rain, days);
    if read.is_empty() {
        return Err(Gap::NoRain);
    }
    let total = Millimetres(read.values().map(|(mm, _)| mm).sum());
    let sources = read.values().map(|(_, row)| *row).collect();
    let estimate = Estimate::counted(total, method, sources);
    Ok(match length(days) - read.len() {
        0 => estimate,
        missing => estimate.note(format!("{missing} of {} days have no reading", length(days))),
    })
}

/// Rain of `days`.
///
/// # Errors
/// None of them was read.
pub fn total(rain: &[RainDay], days: &RangeInclusive<NaiveDate>) -> Finding<Millimetres> {
    sum(rain, days, Method::RAIN_SUM)
}

/// Rain of the fifty-six days after `planted`.
///
/// # Errors
/// None of them was read.
pub fn after_planting(rain: &[RainDay], planted: NaiveDate) -> Finding<Millimetres> {
    let day = |after: u64| planted.checked_add_days(Days::new(after)).ok_or(Gap::NoRain);
    sum(rain, &(day(1)?..=day(AFTER_PLANTING)?), Method::RAIN_AFTER_PLANTING)
}

/// Median rain of the same days in the other years of the record.
///
/// # Errors
/// Fewer than ten other years have nearly all of those days.
pub fn median_of_other_years(rain: &[RainDay], days: &RangeInclusive<NaiveDate>) -> Finding<Millimetres> {
    let years: Option<(i32, i32)> = rain.iter().map(|day| day.date.year()).fold(None, |ends, year| {
        let (first, last) = ends.unwrap_or((year, year));
        Some((first.min(year), last.max(year)))
    });
    let (first, last) = years.ok_or(Gap::NoRain)?;
    let mut sums = Vec::new();
    let mut rows = Vec::new();
    for year in first..=last {
        let shift = year - days.start().year();
        let (Some(from), Some(to)) = (shifted(*days.start(), shift), shifted(*days.end(), shift)) else {
            continue;
        };
        let here = from..=to;
        let overlaps = from <= *days.end() && to >= *days.start();
        let read = by_day(rain, &here);
        let missing = 1.0 - count(read.len()) / count(length(&here).max(1));
        if !overlaps && missing <= MISSING {
            sums.push(read.values().map(|(mm, _)| mm).sum::<f64>());
            rows.extend(read.values().map(|(_, row)| *row));
        }
    }
    if sums.len() < YEARS {
        return Err(Gap::TooFewYears { have: sums.len(), need: YEARS });
    }
    sums.sort_unstable_by(f64::total_cmp);
    let middle = sums.len() / 2;
    let median =
        if sums.len() % 2 == 1 { sums[middle] } else { f64::midpoint(sums[middle - 1], sums[middle]) };
    let estimate = Estimate::counted(Millimetres(median), Method::RAIN_MEDIAN, rows.into_iter().collect());
    Ok(estimate.note(format!("of {} other years", sums.len())))
}

/// The same day `years` later; the end of February stays its end.
fn shifted(day: NaiveDate, years: i32) -> Option<NaiveDate> {
    let year = day.year().checked_add(years)?;
    day.with_year(year).or_else(|| NaiveDate::from_ymd_opt(year, 2, 28))
}

/// The longest dry spell.
#[derive(Debug, Clone, PartialEq)]
pub struct DrySpell {
    /// How many days.
    pub days: Estimate<Count>,
    /// The first of them.
    pub first: NaiveDate,
    /// The last of them.
    pub last: NaiveDate,
}

/// The longest run of days within `days` that were read and had less than 1 mm; of two as long the earlier.
///
/// # Errors
/// No day was read, or none was dry.
pub fn longest_dry_spell(rain: &[RainDay], days: &RangeInclusive<NaiveDate>) -> Result<DrySpell, Gap> {
    let read = by_day(rain, days);
    let mut run: Vec<(NaiveDate, &Row)> = Vec::new();
    let mut best = run.clone();
    for (&date, &(mm, row)) in &read {
        let follows = run.last().is_some_and(|(last, _)| last.succ_opt() == Some(date));
        if !follows || mm >= WET_DAY_MM {
            run.clear();
        }
        if mm < WET_DAY_MM {
            run.push((date, row));
            if run.len() > best.len() {
                best.clone_from(&run);
            }
        }
    }
    let (Some(&(first, _)), Some(&(last, _))) = (best.first(), best.last()) else { return Err(Gap::NoRain) };
    let rows = best.iter().map(|(_, row)| *row).collect();
    let mut spell = Estimate::counted(Count(best.len() as u64), Method::DRY_SPELL, rows);
    spell = spell.note(span(first, last));
    let missing = length(days) - read.len();
    if missing > 0 {
        spell = spell.note(format!("{missing} of {} days have no reading", length(days)));
    }
    Ok(DrySpell { days: spell, first, last })
}
