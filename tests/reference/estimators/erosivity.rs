//! R against published and computed values.

use chrono::{Days, NaiveDate};
use hillfolio_core::{
    estimate::{
        Gap, Method,
        erosion::{Annual, alpha, annual, daily_erosivity, day_erosivity, erosivity, two_year_six_hour},
    },
    project::{RainDay, Soil},
    source::Sources,
    units::{EROSIVITY_FROM_US, Millimetres},
};

use crate::support::row;

/// The toy year of case R8: month and mm.
const TOY: [(u32, f64); 14] = [
    (1, 80.0),
    (1, 12.0),
    (2, 45.5),
    (2, 12.7),
    (3, 30.0),
    (4, 20.0),
    (5, 15.0),
    (6, 40.0),
    (7, 13.0),
    (8, 5.0),
    (9, 25.0),
    (10, 33.0),
    (11, 60.0),
    (12, 55.0),
];

/// The toy year, `years` times over, every other day dry.
fn record(years: i32) -> Vec<RainDay> {
    let mut days = Vec::new();
    let mut date = NaiveDate::from_ymd_opt(2001, 1, 1).unwrap();
    let end = NaiveDate::from_ymd_opt(2001 + years, 1, 1).unwrap();
    let mut left: Vec<(u32, f64)> = Vec::new();
    while date < end {
        use chrono::Datelike;
        if date.day() == 1 {
            left = TOY.iter().copied().filter(|(month, _)| *month == date.month()).collect();
        }
        let mm = if left.is_empty() { 0.0 } else { left.remove(0).1 };
        days.push(RainDay {
            date,
            mm: Some(Millimetres(mm)),
            source: row("rain.csv", days.len() as u32 + 2),
        });
        date = date + Days::new(1);
    }
    days
}

pub(crate) fn found(id: &str) -> Option<f64> {
    let day = |month, mm| day_erosivity(alpha(0.65), month, Millimetres(mm));
    if let Some(intensity) = id.strip_prefix("RS") {
        return Some(two_year_six_hour(intensity.parse().unwrap()).0);
    }
    Some(match id {
        "R1" => two_year_six_hour(10.0).0,
        "R2" => two_year_six_hour(15.0).0,
        "R4" => alpha(0.65),
        "R5" => day(1, 50.0),
        "R6" => day(7, 50.0),
        "R7" => day(4, 12.7) + day(4, 12.8),
        "R8" => daily_erosivity(&record(5), -33.0).unwrap().erosivity.0,
        "R9" => annual(Annual::RenardFreimund, Millimetres(850.0)).0,
        "R10" => annual(Annual::RenardFreimund, Millimetres(850.000_001)).0,
        "R11" => annual(Annual::RenardFreimund, Millimetres(1500.0)).0,
        "R12" => 200.0 * EROSIVITY_FROM_US,
        _ => return None,
    })
}

/// Rules of the record, by hand: short ones, gaps, the wrong hemisphere, doubled days.
#[test]
fn a_record_must_be_long_whole_and_southern() {
    assert!(matches!(daily_erosivity(&record(4), -33.0), Err(Gap::TooFewYears { have: 4, need: 5 })));
    assert!(matches!(daily_erosivity(&record(20), 36.0), Err(Gap::OutOfRange(_))));
    let whole = daily_erosivity(&record(20), -33.0).unwrap();
    assert!(whole.is_long() && whole.months_left_out == 0);
    // Three days of one January gone: its mean is that of the other Januaries, which are all alike.
    let mut gappy = record(20);
    gappy.drain(10..13);
    let gappy = daily_erosivity(&gappy, -33.0).unwrap();
    assert_eq!(gappy.months_left_out, 1);
    assert!(
        (gappy.months[0] - whole.months[0]).abs() / whole.months[0] < 0.02,
        "only the wet part of the year moved"
    );
    // A reading that was not made is missing; a dry day is not.
    let mut unread = record(6);
    unread[0].mm = None;
    unread[5].mm = None;
    unread[7].mm = None;
    assert_eq!(daily_erosivity(&unread, -33.0).unwrap().months_left_out, 1);
    let mut twice = record(5);
    twice.extend(record(5));
    assert_eq!(
        daily_erosivity(&twice, -33.0).unwrap().erosivity,
        daily_erosivity(&record(5), -33.0).unwrap().erosivity
    );
}

/// The order of the ways: given, long daily rain, the storm, a shorter record.
#[test]
fn the_best_way_that_is_there_is_taken() {
    let settings = Sources::default();
    let (long, short) = (daily_erosivity(&record(20), -33.0), daily_erosivity(&record(8), -33.0));
    let missing = Err(Gap::TableMissing("rain"));
    let way = |soil: &Soil, daily: &Result<_, Gap>| {
        erosivity(soil, daily.as_ref(), &settings).map(|factor| (factor.method, factor.notes.len()))
    };
    let given = Soil { erosivity: Some(4200.0), rain_2y_6h_mm_per_h: Some(10.0), ..Soil::default() };
    let storm = Soil { rain_2y_6h_mm_per_h: Some(10.0), ..Soil::default() };
    assert_eq!(way(&given, &long), Ok((Method::EROSIVITY_GIVEN, 0)));
    assert_eq!(way(&storm, &long).unwrap().0, Method::EROSIVITY_DAILY);
    assert_eq!(way(&storm, &short).unwrap().0, Method::EROSIVITY_INTENSITY);
    assert_eq!(
        way(&Soil::default(), &short),
        Ok((Method::EROSIVITY_DAILY, 3)),
        "a record of eight years is doubted"
    );
    assert_eq!(way(&Soil::default(), &missing), Err(Gap::NoErosivity));
    let wild = Soil { rain_2y_6h_mm_per_h: Some(45.0), ..Soil::default() };
    assert!(matches!(way(&wild, &missing), Err(Gap::OutOfRange(_))));
    let odd = Soil { erosivity: Some(40_000.0), ..Soil::default() };
    assert_eq!(way(&odd, &missing).unwrap().1, 1, "outside 300 to 20 000 it is doubted");
}
