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

/// A year's readings of the same days, by day.
type OtherYear<'a> = (NaiveDate, BTreeMap<NaiveDate, (f64, &'a Row)>);

/// What was read on the same days in the other years of the record that have nearly all of them, each with its first day.
fn other_years<'a>(rain: &'a [RainDay], days: &RangeInclusive<NaiveDate>) -> Vec<OtherYear<'a>> {
    let years: Option<(i32, i32)> = rain.iter().map(|day| day.date.year()).fold(None, |ends, year| {
        let (first, last) = ends.unwrap_or((year, year));
        Some((first.min(year), last.max(year)))
    });
    let year = |year: i32| {
        let shift = year - days.start().year();
        let here = shifted(*days.start(), shift)?..=shifted(*days.end(), shift)?;
        let overlaps = here.start() <= days.end() && here.end() >= days.start();
        let read = by_day(rain, &here);
        let missing = 1.0 - count(read.len()) / count(length(&here).max(1));
        (!overlaps && missing <= MISSING).then_some((*here.start(), read))
    };
    years.map(|(first, last)| (first..=last).filter_map(year).collect()).unwrap_or_default()
}

/// Median rain of the same days in the other years of the record.
///
/// # Errors
/// Fewer than ten other years have nearly all of those days.
pub fn median_of_other_years(rain: &[RainDay], days: &RangeInclusive<NaiveDate>) -> Finding<Millimetres> {
    if rain.is_empty() {
        return Err(Gap::NoRain);
    }
    let years = other_years(rain, days);
    if years.len() < YEARS {
        return Err(Gap::TooFewYears { have: years.len(), need: YEARS });
    }
    let sums = years.iter().map(|(_, read)| read.values().map(|(mm, _)| mm).sum::<f64>()).collect();
    let rows = years.iter().flat_map(|(_, read)| read.values().map(|(_, row)| *row)).collect();
    let estimate = Estimate::counted(Millimetres(middle(sums)), Method::RAIN_MEDIAN, rows);
    Ok(estimate.note(format!("of {} other years", years.len())))
}

fn middle(mut sums: Vec<f64>) -> f64 {
    sums.sort_unstable_by(f64::total_cmp);
    let middle = sums.len() / 2;
    match sums.len() {
        0 => 0.0,
        odd if odd % 2 == 1 => sums[middle],
        _ => f64::midpoint(sums[middle - 1], sums[middle]),
    }
}

/// Rain since the first of `days` up to each of them, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Cumulative {
    /// Of these days, up to the last that was read.
    pub these: Vec<f64>,
    /// The least of the other years, their median and the most, at each day.
    pub others: Vec<[f64; 3]>,
    /// How many other years.
    pub years: usize,
}

/// Cumulative rain of `days` and of the same days in other years; a day without a reading adds nothing.
///
/// # Errors
/// None of the days was read, or fewer than ten other years have nearly all of them.
pub fn cumulative(rain: &[RainDay], days: &RangeInclusive<NaiveDate>) -> Result<Cumulative, Gap> {
    let these = by_day(rain, days);
    let last = these.keys().next_back().copied().ok_or(Gap::NoRain)?;
    let years = other_years(rain, days);
    if years.len() < YEARS {
        return Err(Gap::TooFewYears { have: years.len(), need: YEARS });
    }
    let whole = length(days);
    // Of a year with a leap day more, the last place holds that day too.
    let running = |from: NaiveDate, read: &BTreeMap<NaiveDate, (f64, &Row)>, count: usize| -> Vec<f64> {
        let each = from.iter_days().take(count).map(|date| read.get(&date).map_or(0.0, |(mm, _)| *mm));
        each.scan(0.0, |sum, mm| {
            *sum += mm;
            Some(*sum)
        })
        .collect()
    };
    let sums: Vec<Vec<f64>> = years
        .iter()
        .map(|(from, read)| {
            let mut sums = running(*from, read, whole);
            if let Some(last) = sums.last_mut() {
                *last = read.values().map(|(mm, _)| mm).sum();
            }
            sums
        })
        .collect();
    let at = |place: usize| {
        let here: Vec<f64> = sums.iter().filter_map(|sums| sums.get(place).copied()).collect();
        let ends = here
            .iter()
            .fold((f64::INFINITY, 0.0_f64), |(least, most), sum| (least.min(*sum), most.max(*sum)));
        [ends.0, middle(here), ends.1]
    };
    let read = length(&(*days.start()..=last));
    Ok(Cumulative {
        these: running(*days.start(), &these, read),
        others: (0..whole).map(at).collect(),
        years: years.len(),
    })
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
