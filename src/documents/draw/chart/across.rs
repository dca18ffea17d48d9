//! The horizontal axis of a panel: years true to time, or plain counts.

use chrono::{Datelike, NaiveDate};

use crate::draw::{chart::scale::Scale, text::Line};
use hillfolio_core::units::number;

/// Paper kept free at each end of an axis of years, as a part of its length: room for the marks of the last day.
const MARGIN: f64 = 0.04;

/// A day as a number that grows by one from day to day.
pub(super) fn day_number(date: NaiveDate) -> f64 {
    f64::from(date.num_days_from_ce())
}

/// An axis from left to right, without a place on paper yet.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Across {
    low: f64,
    high: f64,
    ticks: Vec<(f64, String)>,
    /// What stands below the axis; empty where the ticks say it.
    pub(super) title: &'static str,
}

impl Across {
    /// Time from `first` to `last`, with a tick where each year begins.
    pub(super) fn years(first: NaiveDate, last: NaiveDate) -> Across {
        let (low, high) = (day_number(first), day_number(last.max(first)) + 1.0);
        let spare = (high - low) * MARGIN;
        let begins =
            |year: i32| NaiveDate::from_ymd_opt(year, 1, 1).map(|day| (day_number(day), year.to_string()));
        let mut ticks: Vec<(f64, String)> =
            (first.year()..=last.year()).filter_map(begins).filter(|(day, _)| *day >= low - spare).collect();
        // Within one year its months tell the time.
        if ticks.len() < 2 {
            let days = first.iter_days().take_while(|day| *day <= last).filter(|day| day.day() == 1);
            ticks = days.map(|day| (day_number(day), day.format("%b %Y").to_string())).collect();
        }
        Across { low: low - spare, high: high + spare, ticks, title: "" }
    }

    /// Counts from nothing to `most`.
    pub(super) fn counts(most: f64, title: &'static str) -> Across {
        let scale = Scale::over(std::iter::once(most), (0.0, 1.0), 6.0, 1.0);
        let ticks = scale.ticks().into_iter().filter(|tick| *tick <= most * 1.001);
        let ticks = ticks.map(|tick| (tick, number(tick, 0))).collect();
        Across { low: 0.0, high: most * (1.0 + MARGIN), ticks, title }
    }

    /// Where `value` stands between `left` and `right` mm.
    pub(super) fn at(&self, value: f64, (left, right): (f64, f64)) -> f64 {
        let part = if self.high > self.low { (value - self.low) / (self.high - self.low) } else { 0.0 };
        left + part.clamp(0.0, 1.0) * (right - left)
    }

    /// The ticks between `left` and `right` mm, each with its words where there is room for them.
    pub(super) fn ticks(&self, room: (f64, f64), points: f64) -> Vec<(f64, Option<Line>)> {
        let placed =
            self.ticks.iter().map(|(value, words)| (self.at(*value, room), Line::new(words.clone(), points)));
        let placed: Vec<(f64, Line)> = placed.collect();
        let widest = placed.iter().map(|(_, line)| line.width()).fold(0.0, f64::max);
        let apart = placed.windows(2).map(|pair| pair[1].0 - pair[0].0).fold(f64::INFINITY, f64::min);
        let every =
            (1..=placed.len().max(1)).find(|&every| every as f64 * apart >= widest + 1.5).unwrap_or(1);
        placed.into_iter().enumerate().map(|(at, (x, line))| (x, (at % every == 0).then_some(line))).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(words: &str) -> NaiveDate {
        words.parse().unwrap_or_default()
    }

    #[test]
    fn time_is_true_to_days() {
        let across = Across::years(day("2021-02-16"), day("2029-06-30"));
        let at = |words: &str| across.at(day_number(day(words)), (0.0, 100.0));
        let year = at("2023-01-01") - at("2022-01-01");
        assert!((at("2024-01-01") - at("2023-01-01") - year).abs() < 1e-9, "365 days each");
        assert!((at("2025-01-01") - at("2024-01-01") - year * 366.0 / 365.0).abs() < 1e-9, "a leap year");
        assert!(at("2021-02-16") > 1.0 && at("2029-06-30") < 99.0);
        let said: Vec<String> =
            across.ticks((0.0, 30.0), 7.0).into_iter().filter_map(|(_, line)| Some(line?.text)).collect();
        assert_eq!(said, ["2021", "2024", "2027"], "names keep clear of each other");
    }

    #[test]
    fn a_single_year_has_months_and_a_single_day_stands() {
        let across = Across::years(day("2025-02-16"), day("2025-06-30"));
        assert_eq!(across.ticks((0.0, 170.0), 7.0).len(), 4);
        let one = Across::years(day("2025-02-16"), day("2025-02-16"));
        assert!(one.at(day_number(day("2025-02-16")), (0.0, 10.0)).is_finite());
        let counts = Across::counts(12.0, "plots");
        assert_eq!(counts.ticks((0.0, 100.0), 7.0).len(), 7);
        assert!(counts.at(12.0, (0.0, 100.0)) < 100.0);
    }
}
