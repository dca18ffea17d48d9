//! A rain record that holds running totals, or inches.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use crate::{
    intake::checks::{median, say_of},
    problem::{Change, Measured, Problem, SecondReading, Surveyed},
    project::{Project, RainDay},
    units::{day, number},
};

/// Rises without a fall that make a month one of running totals, and those of all its months together (common practice, no source: of
/// rain days in any order the chance of five rises is one in 120).
const RISES: usize = 4;
const RISES_IN_ALL: usize = 8;

/// Readings that make a year of the record worth a judgement.
const A_YEAR: usize = 300;

/// How many times less than in other years may fall in one (common practice, no source: the driest years bring a third of the middle
/// one, inches make a 25th).
const DRIER: f64 = 8.0;

/// Millimetres in a year below which nobody plants a forest (common practice, no source: deserts have less than 250).
const DESERT: f64 = 75.0;

/// Millimetres in an inch.
const INCH: f64 = 25.4;

/// A reading that was taken.
type Read<'a> = (f64, &'a RainDay);

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let mut read: Vec<Read<'_>> =
        project.rain.iter().filter_map(|one| one.mm.map(|mm| (mm.0, one))).collect();
    read.sort_by_key(|(_, one)| one.date);
    if !running(&read, problems) {
        inches(project, &read, problems);
    }
}

/// Months whose readings only rise. Says whether there are any.
fn running(read: &[Read<'_>], problems: &mut Vec<Problem>) -> bool {
    let mut months: BTreeMap<(i32, u32), Vec<Read<'_>>> = BTreeMap::new();
    for &(mm, one) in read {
        months.entry((one.date.year(), one.date.month())).or_default().push((mm, one));
    }
    let rises =
        |days: &[Read<'_>]| days.windows(2).filter(|two| matches!(two, [(a, _), (b, _)] if a < b)).count();
    let falls = |days: &[Read<'_>]| days.windows(2).any(|two| matches!(two, [(a, _), (b, _)] if a > b));
    months.retain(|_, days| rises(days) >= RISES && !falls(days));
    let all: usize = months.values().map(|days| rises(days)).sum();
    let (Some(first), Some(last)) = (months.values().next(), months.values().next_back()) else {
        return false;
    };
    if all < RISES_IN_ALL {
        return false;
    }
    let named = |days: &[Read<'_>]| days.first().map(|(_, one)| one.date.format("%B %Y").to_string());
    let names = [named(first), named(last)].map(Option::unwrap_or_default);
    let span = match months.len() {
        1 => names.concat(),
        count => format!("{count} months from {}", names.join(" to ")),
    };
    let (mut sum, mut then, mut before) = (0.0, 0.0, 0.0);
    let rows: Vec<Read<'_>> = months.into_values().flatten().collect();
    for (mm, _) in &rows {
        sum += mm;
        // The count begins anew with what falls first.
        then += if *mm >= before { mm - before } else { *mm };
        before = *mm;
    }
    let most = rows.iter().map(|(mm, _)| *mm).fold(0.0, f64::max);
    let kind = Surveyed::RainRunningTotal {
        months: span,
        rises: all,
        last: number(most, 1),
        sum: number(sum, 1),
        then: number(then, 1),
    };
    let rows: Vec<_> = rows.into_iter().map(|(_, one)| &one.source).collect();
    let other = SecondReading::of(Change::RunningTotals, rows.iter().copied());
    say_of(kind, rows, "mm", Some(&other), problems);
    true
}

/// A year, counted back from the period's end, in which far less fell than in the others, or than falls anywhere that is planted.
fn inches(project: &Project, read: &[Read<'_>], problems: &mut Vec<Problem>) {
    let mut years: BTreeMap<i64, Vec<Read<'_>>> = BTreeMap::new();
    for &(mm, one) in read {
        years.entry(year(project.period.to, one.date)).or_default().push((mm, one));
    }
    years.retain(|_, days| days.len() >= A_YEAR);
    let sum = |days: &[Read<'_>]| days.iter().map(|(mm, _)| mm).sum::<f64>();
    for (at, days) in &years {
        let others = years.iter().filter(|(other, _)| *other != at).map(|(_, days)| sum(days));
        let middle = median(others.collect());
        let here = sum(days);
        let beside = match middle {
            Some(middle) if here * DRIER < middle => {
                format!("in the middle one of the other years {} mm", number(middle, 1))
            }
            _ if here < DESERT => "less than where any forest is planted".to_owned(),
            _ => continue,
        };
        let (Some((_, first)), Some((_, last))) = (days.first(), days.last()) else { continue };
        let kind = Surveyed::RainInInches {
            mm: number(here, 1).into(),
            days: days.len(),
            from: day(first.date).into(),
            to: day(last.date).into(),
            beside: beside.into(),
            inches: number(here * INCH, 1).into(),
            tenfold: number(here * 10.0, 1).into(),
        };
        let rows: Vec<_> = days.iter().map(|(_, one)| &one.source).collect();
        let change = Change::Times { of: Measured::Rain, factor: INCH };
        let other = SecondReading::of(change, rows.iter().copied());
        say_of(kind, rows, "mm", Some(&other), problems);
    }
}

/// Which year before the end of the period a day lies in.
fn year(end: NaiveDate, date: NaiveDate) -> i64 {
    let years = i64::from(end.year() - date.year());
    let later = (date.month(), date.day()) > (end.month(), end.day());
    years - i64::from(later)
}
