//! Rain sums, gaps and dry spells against pandas.

use chrono::NaiveDate;
use hillfolio_core::{
    estimate::{Gap, rain},
    project::RainDay,
    units::Millimetres,
};

use crate::{
    support::{day, row},
    terrain_cases::{cases, text},
};

fn record(file: &str) -> Vec<RainDay> {
    let text = text(file);
    let lines = text.lines().enumerate().skip(1);
    let days = lines.map(|(at, line)| {
        let (date, mm) = line.split_once(',').unwrap();
        let form = if date.contains('/') { "%d/%m/%Y" } else { "%Y-%m-%d" };
        RainDay {
            date: NaiveDate::parse_from_str(date, form).unwrap(),
            mm: (!mm.trim().is_empty()).then(|| Millimetres(mm.trim().parse().unwrap())),
            source: row(file, at as u32 + 1),
        }
    });
    days.collect()
}

/// plain Python and pandas, which agree; see `data/terrain/NOTICE.md`.
#[test]
fn sums_gaps_and_dry_spells_match_pandas() {
    for (id, case) in cases("rain") {
        let days = record(case["input"][0].as_str().unwrap());
        let expected = &case["expected"];
        let whole = day(expected["first"].as_str().unwrap())..=day(expected["last"].as_str().unwrap());
        let total = rain::total(&days, &whole).unwrap();
        assert!((total.value.0 - expected["total_mm"].as_f64().unwrap()).abs() < 1e-6, "{id}");
        let missing =
            expected["calendar_days"].as_u64().unwrap() - expected["days_with_value"].as_u64().unwrap();
        match missing {
            0 => assert!(total.notes.is_empty()),
            _ => assert!(total.notes[0].starts_with(&format!("{missing} of ")), "{:?}", total.notes),
        }
        for (month, mm) in expected["month_mm"].as_object().unwrap() {
            let first = day(&format!("{month}-01"));
            let last = first.checked_add_months(chrono::Months::new(1)).unwrap().pred_opt().unwrap();
            let found = rain::total(&days, &(first..=last)).unwrap().value.0;
            assert!((found - mm.as_f64().unwrap()).abs() < 1e-6, "{id} {month}: {found}");
        }
        let spell = rain::longest_dry_spell(&days, &whole).unwrap();
        let longest = &expected["longest_dry_spell"];
        assert_eq!(spell.days.value.0, longest["days"].as_u64().unwrap(), "{id}");
        if longest["ties"] == 1 {
            assert_eq!(spell.first, day(longest["first_day"].as_str().unwrap()), "{id}");
        }
    }
}

/// By hand: the day of planting does not count, the fifty-sixth after it does.
#[test]
fn eight_weeks_begin_the_day_after() {
    let planted = day("2025-07-01");
    let days: Vec<RainDay> = (0..60)
        .map(|after| RainDay {
            date: planted + chrono::Days::new(after),
            mm: (after != 10).then_some(Millimetres(if after == 0 || after == 57 { 1000.0 } else { 1.0 })),
            source: row("rain.csv", after as u32 + 2),
        })
        .collect();
    let found = rain::after_planting(&days, planted).unwrap();
    assert_eq!(found.value, Millimetres(55.0));
    assert_eq!(found.notes, ["1 of 56 days have no reading"]);
    assert_eq!(rain::after_planting(&days, day("2020-01-01")), Err(Gap::NoRain));
}

/// By hand: eleven other years with 1 to 11 mm on each of the same ten days have a median of 60 mm; the year itself and a year
/// with a gap are not among them.
#[test]
fn the_median_is_that_of_the_other_years() {
    let mut days = Vec::new();
    for year in 2010..=2022 {
        for date in 1..=10 {
            let mm = match year {
                2021 => 500.0,
                2022 if date > 5 => continue,
                2022 => 700.0,
                year => f64::from(year - 2009),
            };
            let date = NaiveDate::from_ymd_opt(year, 2, date).unwrap();
            days.push(RainDay {
                date,
                mm: Some(Millimetres(mm)),
                source: row("rain.csv", days.len() as u32 + 2),
            });
        }
    }
    let asked = day("2021-02-01")..=day("2021-02-10");
    let found = rain::median_of_other_years(&days, &asked).unwrap();
    assert_eq!(found.value, Millimetres(60.0));
    assert_eq!(found.notes, ["of 11 other years"]);
    let few = rain::median_of_other_years(&days[30..], &asked);
    assert_eq!(few, Err(Gap::TooFewYears { have: 8, need: 10 }));
}

/// By hand: years with 1 to 11 mm on each of ten days stand at 10 mm, 60 mm and 110 mm after them, at 1, 6 and 11 mm after the first;
/// the year itself goes on to its last reading. The last median is that of the other years' sums.
#[test]
fn sums_since_the_first_day_stand_in_the_band_of_other_years() {
    let mut days = Vec::new();
    for year in 2010..=2021 {
        for date in 1..=10 {
            if year == 2021 && date > 8 {
                continue;
            }
            let mm = if year == 2021 { 20.0 } else { f64::from(year - 2009) };
            let date = NaiveDate::from_ymd_opt(year, 2, date).unwrap();
            days.push(RainDay { date, mm: Some(Millimetres(mm)), source: row("rain.csv", 2) });
        }
    }
    let asked = day("2021-02-01")..=day("2021-02-10");
    let sums = rain::cumulative(&days, &asked).unwrap();
    assert_eq!((sums.years, sums.these.len(), sums.these[7]), (11, 8, 160.0));
    assert_eq!((sums.others[0], sums.others[9]), ([1.0, 6.0, 11.0], [10.0, 60.0, 110.0]));
    assert_eq!(rain::median_of_other_years(&days, &asked).unwrap().value, Millimetres(sums.others[9][1]));
    assert_eq!(rain::cumulative(&days[30..], &asked), Err(Gap::TooFewYears { have: 8, need: 10 }));
}
