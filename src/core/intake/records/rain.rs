//! `rain`: daily rain.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    intake::table::{Record, Table, key},
    problem::{Kind, Place, Plausibility, Problem, Records},
    project::RainDay,
    units::{Millimetres, as_written, day, number},
};

/// More rain than ever fell in a day, mm: 1 825 on 7 and 8 January 1966 on Réunion (World Meteorological Organization, archive of
/// weather and climate extremes; from memory).
const MOST_MM: f64 = 1_900.0;

/// Numbers that records write where nothing was read, mm (common practice, no source; `9999` and below zero are refused as it is).
const HOLES: [f64; 3] = [999.0, 999.9, 888.8];

/// Headings of a column that tells gauges apart.
const STATION: [&str; 7] = ["station", "site", "gauge", "gage", "station name", "station number", "location"];

/// Days that stand twice with other rain, from which the rows are of several gauges (common practice, no source).
const GAUGES: usize = 10;

/// Every day, once; rain of several days read as one is a day without a reading.
pub(crate) fn read(table: &Table, problems: &mut Vec<Problem>) -> Vec<RainDay> {
    if table.lacks("mm", problems) {
        return Vec::new();
    }
    let mut seen: BTreeMap<NaiveDate, (u32, Option<Millimetres>)> = BTreeMap::new();
    let mut others = 0;
    let mut days = table.each(problems, |row| {
        let (date, days) = (row.day("date"), row.whole("days", (1, 366), "a number of days, 1 or more"));
        let mm = row.number("mm", (0.0, MOST_MM), "rain in millimetres, 0 or more").map(Millimetres);
        let refused = row.raw("mm").is_some() && mm.is_none();
        let source = row.source();
        let date = date?;
        if let Some((first, rain)) = seen.get(&date) {
            others += usize::from(*rain != mm);
            row.say("date", Records::RainDayTwice { date: day(date), first: *first });
            return None;
        }
        seen.insert(date, (source.row, mm));
        let several = days.filter(|&days| days > 1 && mm.is_some());
        if let Some(days) = several {
            row.say("days", Records::RainOfDays { days });
        }
        (!refused).then_some(RainDay { date, mm: mm.filter(|_| several.is_none()), source })
    });
    if let Some(stations) =
        stations(table).or_else(|| (others >= GAUGES).then(|| several_unnamed(others, seen.len())))
    {
        // That is why days stand twice.
        problems.retain(|problem| !matches!(problem.kind, Kind::Records(Records::RainDayTwice { .. })));
        let place = Place::file(table.path.clone());
        problems.push(Problem::new(Plausibility::RainOfStations { stations }, place));
    }
    take_holes_out(&mut days, problems);
    days
}

fn several_unnamed(others: usize, days: usize) -> String {
    format!("{others} of {days} days a second time with other rain, as several gauges give")
}

/// The gauges of the table with what each saw, where a column names more than one.
fn stations(table: &Table) -> Option<String> {
    let at = table
        .headings()
        .position(|heading| STATION.iter().any(|word| key(heading) == word.replace(' ', "_")))?;
    let rain = table.position("mm").map(|(rain, _)| rain);
    let mut gauges: BTreeMap<&str, (usize, f64)> = BTreeMap::new();
    for row in table.rows().iter().filter(|row| !row.cell(at).is_empty()) {
        let (days, sum) = gauges.entry(row.cell(at)).or_default();
        *days += 1;
        *sum += rain.and_then(|rain| cell(row, rain)).unwrap_or_default();
    }
    let each =
        gauges.iter().map(|(name, (days, sum))| format!("{name} ({days} rows, {} mm)", number(*sum, 1)));
    (gauges.len() > 1).then(|| format!("{} stations: {}", gauges.len(), each.collect::<Vec<_>>().join(", ")))
}

fn cell(row: &Record, at: usize) -> Option<f64> {
    row.cell(at).parse().ok()
}

/// Takes the numbers that stand for a missing reading for what they are, and says so.
fn take_holes_out(days: &mut [RainDay], problems: &mut Vec<Problem>) {
    let all: f64 = days.iter().filter_map(|day| day.mm).map(|mm| mm.0).sum();
    for hole in HOLES {
        let is_hole = |day: &&mut RainDay| day.mm.is_some_and(|mm| (mm.0 - hole).abs() < 1e-9);
        let marked: Vec<&mut RainDay> = days.iter_mut().filter(is_hole).collect();
        let kind = Plausibility::RainHoleValue {
            count: marked.len(),
            mark: as_written(hole),
            with: number(all, 1),
            without: number(all - hole * marked.len() as f64, 1),
        };
        for day in marked {
            day.mm = None;
            problems.push(Problem::new(kind.clone(), Place::row(&day.source).column("mm")));
        }
    }
}
