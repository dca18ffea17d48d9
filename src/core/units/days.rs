//! Days as a reader writes them.

use chrono::{Datelike, NaiveDate};

/// A day in a sentence, such as `3 March 2025`.
#[must_use]
pub fn day(day: NaiveDate) -> String {
    day.format("%-d %B %Y").to_string()
}

/// The day that is meant where day and month of `day` stand in each other's place; `None` where that makes no other day.
#[must_use]
pub fn day_for_month(day: NaiveDate) -> Option<NaiveDate> {
    NaiveDate::from_ymd_opt(day.year(), day.day(), day.month()).filter(|other| *other != day)
}

/// A first and a last day in a sentence, as short as they can be said: `4 to 15 August 2025`.
#[must_use]
pub fn span(first: NaiveDate, last: NaiveDate) -> String {
    if first == last {
        return day(first);
    }
    let pattern = match (first.year() == last.year(), first.month() == last.month()) {
        (true, true) => "%-d",
        (true, false) => "%-d %B",
        _ => "%-d %B %Y",
    };
    format!("{} to {}", first.format(pattern), day(last))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_said_as_short_as_they_can_be() {
        let said = |first: &str, last: &str| span(first.parse().unwrap(), last.parse().unwrap());
        assert_eq!(said("2025-03-03", "2025-03-03"), "3 March 2025");
        assert_eq!(said("2025-08-04", "2025-08-15"), "4 to 15 August 2025");
        assert_eq!(said("2025-07-28", "2025-08-15"), "28 July to 15 August 2025");
        assert_eq!(said("2025-12-28", "2026-01-04"), "28 December 2025 to 4 January 2026");
    }
}
