//! Days and spans of time as spreadsheets count them.
//!
//! # Reference
//! ECMA-376 part 1, 18.17.4.1: day 1 is 1 January 1900, or with the other base day 0 is 1 January 1904. The first base
//! holds a 29 February 1900 that never was, as its day 60.

use chrono::{Days, NaiveDate};

/// Days between the two bases.
const BETWEEN_BASES: u64 = 1462;

/// The last day that is counted without the day that never was.
const BEFORE_LEAP: u64 = 59;

/// The last day of the year 9999, counted from 1900.
const LAST: f64 = 2_958_465.0;

/// The day and the time of day that `serial` counts, as text; `None` for what is no day of a spreadsheet.
pub(super) fn moment(serial: f64, from_1904: bool) -> Option<String> {
    if !(0.0..=LAST).contains(&serial) {
        return None;
    }
    // Half a second above or below a whole one is the dust of binary fractions.
    let seconds = (serial * 86_400.0).round() as u64;
    let (days, seconds) = (seconds / 86_400, seconds % 86_400);
    let time = format!("{:02}:{:02}:{:02}", seconds / 3600, seconds / 60 % 60, seconds % 60);
    // A time of day alone is a number below 1.
    if days == 0 && !from_1904 {
        return Some(time);
    }
    let day = day(days, from_1904)?;
    Some(if seconds == 0 { day.to_string() } else { format!("{day} {time}") })
}

/// The span of `days` and parts of a day, as hours and minutes; seconds stand behind them where there are some. `None` for what is no span.
pub(super) fn span(days: f64) -> Option<String> {
    if !(0.0..=LAST).contains(&days) {
        return None;
    }
    let seconds = (days * 86_400.0).round() as u64;
    let span = format!("{}:{:02}", seconds / 3600, seconds / 60 % 60);
    Some(if seconds.is_multiple_of(60) { span } else { format!("{span}:{:02}", seconds % 60) })
}

fn day(days: u64, from_1904: bool) -> Option<NaiveDate> {
    let days = if from_1904 { days + BETWEEN_BASES } else { days };
    let zero = if days > BEFORE_LEAP { (1899, 12, 30) } else { (1899, 12, 31) };
    NaiveDate::from_ymd_opt(zero.0, zero.1, zero.2)?.checked_add_days(Days::new(days))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_go_beyond_a_day() {
        for (days, shown) in [
            (3.5 / 24.0, "3:30"),
            (26.5 / 24.0, "26:30"),
            (0.0, "0:00"),
            (0.145_833_333, "3:30"),
            (15.0 / 86_400.0, "0:00:15"),
        ] {
            assert_eq!(span(days).as_deref(), Some(shown));
        }
        for none in [-1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(span(none), None);
        }
    }

    /// Days that any spreadsheet shows: 1 January 2000 is day 36526.
    #[test]
    fn days_are_counted_from_both_bases() {
        let at = |serial: f64, from_1904| moment(serial, from_1904).unwrap();
        assert_eq!(at(36526.0, false), "2000-01-01");
        assert_eq!(at(36526.0 - 1462.0, true), "2000-01-01");
        assert_eq!(at(45717.0, false), "2025-03-01");
        assert_eq!(at(1.0, false), "1900-01-01");
        assert_eq!(at(59.0, false), "1900-02-28");
        assert_eq!(at(61.0, false), "1900-03-01");
        assert_eq!(at(0.0, true), "1904-01-01");
        assert_eq!(at(45717.4375, false), "2025-03-01 10:30:00");
        assert_eq!(at(0.4375, false), "10:30:00");
        assert_eq!(at(45_716.999_999_999, false), "2025-03-01");
        for none in [-1.0, 3e6, f64::NAN, f64::INFINITY] {
            assert_eq!(moment(none, false), None);
        }
    }
}
