//! Invented rain, day by day: spells of wet and dry, more of it in summer.

use std::f64::consts::TAU;

use chrono::{Datelike, NaiveDate};

use super::{dice::Dice, sheet::Sheet};

/// A rain book from `from` to `to` for a place with about `yearly` millimetres, most of it at the turn of the year.
///
/// Days of `unread` have an empty cell, for nobody read the gauge.
pub(crate) fn rain_book(
    name: &str,
    from: NaiveDate,
    to: NaiveDate,
    yearly: f64,
    unread: &[(NaiveDate, NaiveDate)],
) -> Sheet {
    let mut sheet = Sheet::new("date,mm,note");
    let mut dice = Dice::new(&format!("rain {name}"));
    let (mut wet, mut year, mut year_is) = (false, 0, 1.0);
    for day in from.iter_days().take_while(|day| *day <= to) {
        if day.year() != year {
            (year, year_is) = (day.year(), (1.0 + 0.18 * dice.bell()).max(0.5));
        }
        let season = libm::cos((f64::from(day.ordinal()) - 20.0) / 365.25 * TAU);
        wet = dice.happens(if wet { 0.58 } else { 0.20 + 0.05 * season });
        // An exponential of an exponential's tail: many light days, few heavy ones.
        let heavy = -libm::log(1.0 - dice.part());
        let amount = yearly / 128.0 * (1.0 + 0.35 * season) * year_is * libm::pow(heavy, 1.35) * 0.84;
        let gap = unread.iter().any(|(first, last)| (*first..=*last).contains(&day));
        let (mm, note) = match (gap, wet) {
            (true, _) => (String::new(), "not read"),
            (false, true) => (format!("{:.1}", (amount * 5.0).round() / 5.0), ""),
            (false, false) => ("0".to_owned(), ""),
        };
        sheet.row([&day.to_string(), &mm, note]);
    }
    sheet
}
