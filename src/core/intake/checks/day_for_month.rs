//! Days of which some have day and month changed over: a spreadsheet does so to those that it can read in its own order, and leaves
//! the rest.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::{
    intake::checks::say_of,
    problem::{Change, Plausibility, Problem, SecondReading},
    project::{Period, PlotId, Project},
    source::Row,
    units::day_for_month,
};

/// Days within which rows of a table tell of the same stretch of work (common practice, no source).
const SAME_WORK: i64 = 14;

/// Days within which plots are visited in one survey (common practice, no source).
const ONE_SURVEY: i64 = 31;

/// Days between visits of one survey from which they are told apart by their own dates (common practice, no source).
const SAME_WEEK: i64 = 7;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let period = Within { period: project.period, days: &days(project) };
    let works = project.works.iter().map(|row| (row.date, &row.source)).collect();
    tell("works", outside(works, period, true), false, problems);
    let spending = project.spending.iter().map(|row| (row.date, &row.source)).collect();
    tell("spending", outside(spending, period, true), false, problems);
    let plantings = project.plantings.iter().map(|row| (row.date, &row.source)).collect();
    tell("plantings", outside(plantings, period, false), false, problems);
    let sightings = project.sightings.iter().map(|row| (row.date, &row.source)).collect();
    tell("sightings", outside(sightings, period, false), false, problems);

    let surveys: [(&'static str, Vec<Visit<'_>>); 3] = [
        ("tallies", project.tallies.iter().map(|row| (&row.plot, row.date, &row.source)).collect()),
        ("stems", project.stems.iter().map(|row| (&row.plot, row.date, &row.source)).collect()),
        ("cover", project.cover.iter().map(|row| (&row.plot, row.date, &row.source)).collect()),
    ];
    for (what, visits) in surveys {
        let late = outside(visits.iter().map(|(_, date, row)| (*date, *row)).collect(), period, false);
        if !late.is_empty() {
            tell(what, late, false, problems);
            continue;
        }
        let strays = strays(&visits);
        let stray = visits.iter().filter(|(_, date, _)| strays.contains(date));
        tell(what, stray.map(|(_, date, row)| (*date, *row)).collect(), true, problems);
    }
}

/// The reporting period, and every day within it of which any table tells.
#[derive(Clone, Copy)]
struct Within<'a> {
    period: Period,
    days: &'a BTreeSet<NaiveDate>,
}

/// The days within the period of which any table tells.
fn days(project: &Project) -> BTreeSet<NaiveDate> {
    let of_work = project.works.iter().map(|row| row.date).chain(project.spending.iter().map(|row| row.date));
    let of_plots = project.tallies.iter().map(|row| row.date).chain(project.stems.iter().map(|row| row.date));
    let others = project.plantings.iter().map(|row| row.date).chain(project.cover.iter().map(|row| row.date));
    of_work.chain(of_plots).chain(others).filter(|date| project.period.holds(*date)).collect()
}

/// The rows outside the period that would lie within it, near days that do, with day and month changed over. Of those after its end a day
/// near by that can be no other shows that the table goes on; those `before` it are looked at where every one of them would lie so, for
/// a table may well begin earlier.
fn outside<'a>(
    rows: Vec<(NaiveDate, &'a Row)>,
    Within { period, days }: Within<'_>,
    before: bool,
) -> Vec<(NaiveDate, &'a Row)> {
    let (within, beyond): (Vec<_>, Vec<_>) = rows.into_iter().partition(|(date, _)| period.holds(*date));
    let (late, early): (Vec<_>, Vec<_>) = beyond.into_iter().partition(|(date, _)| *date > period.to);
    let slip = |date: NaiveDate| day_for_month(date).is_some_and(|meant| period.holds(meant));
    let is_near = |one: NaiveDate, other: NaiveDate, days: i64| (one - other).num_days().abs() <= days;
    let goes_on =
        |date: NaiveDate| late.iter().any(|(other, _)| is_near(*other, date, ONE_SURVEY) && !slip(*other));
    let near = |meant: NaiveDate| within.iter().any(|(date, _)| is_near(*date, meant, SAME_WORK));
    let early_slip = |date: NaiveDate| slip(date) && day_for_month(date).is_some_and(near);
    let late_slip = |date: NaiveDate| {
        let told = |meant: NaiveDate| {
            within.iter().any(|(date, _)| is_near(*date, meant, ONE_SURVEY))
                || days.iter().any(|day| is_near(*day, meant, SAME_WEEK))
        };
        slip(date) && day_for_month(date).is_some_and(told) && !goes_on(date)
    };
    let mut found: Vec<_> = Vec::new();
    if before && early.iter().all(|(date, _)| early_slip(*date)) {
        found.extend(early);
    }
    found.extend(late.iter().filter(|(date, _)| late_slip(*date)).copied());
    found.sort_by_key(|(_, row)| *row);
    found
}

/// A row of a survey.
type Visit<'a> = (&'a PlotId, NaiveDate, &'a Row);

/// The days of visits that, with day and month changed over, complete a survey: near that day other plots were visited and none of
/// these, and near the day as it is written no day stands that can be no other.
fn strays(visits: &[Visit<'_>]) -> BTreeSet<NaiveDate> {
    let mut days: BTreeMap<NaiveDate, BTreeSet<&PlotId>> = BTreeMap::new();
    for (plot, date, _) in visits {
        days.entry(*date).or_default().insert(plot);
    }
    let near = |one: NaiveDate, other: NaiveDate, within: i64| (one - other).num_days().abs() <= within;
    let is_stray = |date: NaiveDate, plots: &BTreeSet<&PlotId>| {
        let Some(meant) = day_for_month(date).filter(|meant| !near(*meant, date, ONE_SURVEY)) else {
            return false;
        };
        let same_week = days.keys().any(|other| *other != date && near(*other, meant, SAME_WEEK));
        let lacking = days.iter().filter(|(other, _)| near(**other, meant, ONE_SURVEY));
        let lacks_these = lacking.flat_map(|(_, seen)| seen).all(|plot| !plots.contains(plot));
        let alone = days.keys().all(|other| {
            !near(*other, date, ONE_SURVEY)
                || day_for_month(*other).is_some_and(|turned| near(turned, meant, ONE_SURVEY))
        });
        same_week && lacks_these && alone
    };
    let strays: BTreeMap<NaiveDate, usize> = days
        .iter()
        .filter(|(date, plots)| is_stray(**date, plots))
        .map(|(date, plots)| (*date, plots.len()))
        .collect();
    // Of two days that are each other's turned one, the one with fewer plots is the slip.
    let slip = |date: NaiveDate, plots: usize| {
        day_for_month(date)
            .and_then(|meant| strays.get(&meant).map(|other| (meant, *other)))
            .is_none_or(|(meant, other)| plots < other || plots == other && date > meant)
    };
    strays.iter().filter(|(date, plots)| slip(**date, **plots)).map(|(date, _)| *date).collect()
}

fn tell(what: &'static str, rows: Vec<(NaiveDate, &Row)>, alone: bool, problems: &mut Vec<Problem>) {
    let Some((example, _)) = rows.first() else { return };
    let Some(meant) = day_for_month(*example) else { return };
    let (example, meant) = (example.to_string(), meant.to_string());
    let kind = Plausibility::DaysAndMonthsSwapped { what, count: rows.len(), example, meant, alone };
    let rows = || rows.iter().map(|(_, row)| *row);
    say_of(kind, rows(), "date", Some(&SecondReading::of(Change::DayForMonth, rows())), problems);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn visits(days: &[(&str, &str)]) -> Vec<String> {
        let plots: Vec<PlotId> = days.iter().map(|(plot, _)| PlotId((*plot).into())).collect();
        let row = Row { file: "tallies.csv".into(), row: 2 };
        let visits: Vec<Visit<'_>> =
            plots.iter().zip(days).map(|(plot, (_, day))| (plot, day.parse().unwrap(), &row)).collect();
        strays(&visits).iter().map(ToString::to_string).collect()
    }

    #[test]
    fn a_survey_that_lacks_just_these_plots_tells() {
        let halved = [("N1", "2026-05-13"), ("N2", "2026-05-13"), ("N3", "2026-12-05"), ("N4", "2026-12-05")];
        assert_eq!(visits(&halved), ["2026-12-05"]);
        let two_surveys =
            [("N1", "2025-05-12"), ("N1", "2025-12-05"), ("N2", "2025-05-12"), ("N2", "2025-12-05")];
        assert!(visits(&two_surveys).is_empty(), "each plot was visited in both");
        let beside_a_sure_day = [("N1", "2026-05-13"), ("N3", "2026-12-05"), ("N4", "2026-12-15")];
        assert!(visits(&beside_a_sure_day).is_empty(), "the fifteenth can be no month");
        let both = [("N1", "2026-05-12"), ("N2", "2026-05-12"), ("N3", "2026-12-05")];
        assert_eq!(visits(&both), ["2026-12-05"], "the day with fewer plots");
    }
}
