//! `rain`: daily rain.

use std::collections::BTreeMap;

use crate::{
    intake::table::Table,
    problem::{Problem, Records},
    project::RainDay,
    units::{Millimetres, day},
};

/// More rain than ever fell in a day, mm: 1 825 on 7 and 8 January 1966 on Réunion (World Meteorological Organization, archive of
/// weather and climate extremes; from memory).
const MOST_MM: f64 = 1_900.0;

/// Every day, once; rain of several days read as one is a day without a reading.
pub(crate) fn read(table: &Table, problems: &mut Vec<Problem>) -> Vec<RainDay> {
    if table.lacks("mm", problems) {
        return Vec::new();
    }
    let mut seen = BTreeMap::new();
    table.each(problems, |row| {
        let (date, days) = (row.day("date"), row.whole("days", (1, 366), "a number of days, 1 or more"));
        let mm = row.number("mm", (0.0, MOST_MM), "rain in millimetres, 0 or more").map(Millimetres);
        let refused = row.raw("mm").is_some() && mm.is_none();
        let source = row.source();
        let date = date?;
        if let Some(&first) = seen.get(&date) {
            row.say("date", Records::RainDayTwice { date: day(date), first });
            return None;
        }
        seen.insert(date, source.row);
        let several = days.filter(|&days| days > 1 && mm.is_some());
        if let Some(days) = several {
            row.say("days", Records::RainOfDays { days });
        }
        (!refused).then_some(RainDay { date, mm: mm.filter(|_| several.is_none()), source })
    })
}
