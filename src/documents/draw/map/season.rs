//! Planting seasons: quarters named as they are where the site lies, gathered into no more than a map can tell apart.

use chrono::{Datelike, NaiveDate};

use crate::draw::map::sign::SEASON_LOOKS;

/// Between these latitudes a quarter is named by its months: the four seasons mean nothing there.
const TROPIC: f64 = 23.4;

/// A quarter of a year that begins in March, June, September or December.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Season {
    /// The year of its last month.
    year: i32,
    /// 0 is December to February.
    quarter: u8,
    zone: Zone,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Zone {
    North,
    Tropics,
    South,
}

impl Season {
    /// The season of `day` at `latitude`.
    #[must_use]
    pub(super) fn of(day: NaiveDate, latitude: f64) -> Season {
        let zone = match latitude {
            latitude if latitude > TROPIC => Zone::North,
            latitude if latitude < -TROPIC => Zone::South,
            _ => Zone::Tropics,
        };
        let quarter = match day.month() {
            12 | 1 | 2 => 0,
            3..=5 => 1,
            6..=8 => 2,
            _ => 3,
        };
        Season { year: day.year() + i32::from(day.month() == 12), quarter, zone }
    }

    /// The season in words, such as `winter 2025` or `summer 2025–26`.
    #[must_use]
    pub(super) fn words(self) -> String {
        let year = match self.quarter {
            0 => format!("{}–{:02}", self.year - 1, self.year.rem_euclid(100)),
            _ => self.year.to_string(),
        };
        let name = match (self.zone, self.quarter) {
            (Zone::South, 0) | (Zone::North, 2) => "summer",
            (Zone::South, 1) | (Zone::North, 3) => "autumn",
            (Zone::South, 2) | (Zone::North, 0) => "winter",
            (Zone::South | Zone::North, _) => "spring",
            (Zone::Tropics, 0) => "December–February",
            (Zone::Tropics, 1) => "March–May",
            (Zone::Tropics, 2) => "June–August",
            (Zone::Tropics, _) => "September–November",
        };
        format!("{name} {year}")
    }
}

/// The classes of a planting map, oldest first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Classes {
    /// A class a season.
    Seasons(Vec<Season>),
    /// A class a year; the first also holds everything before it where `older` says so.
    Years {
        /// The years.
        years: Vec<i32>,
        /// Whether the first stands for earlier years too.
        older: bool,
    },
}

/// The finest classes of `seasons` that a map can tell apart: seasons, else years, else the latest years.
#[must_use]
pub(super) fn classes(seasons: &[Season]) -> Classes {
    let mut distinct = seasons.to_vec();
    distinct.sort_unstable();
    distinct.dedup();
    if distinct.len() <= usize::from(SEASON_LOOKS) {
        return Classes::Seasons(distinct);
    }
    let mut years: Vec<i32> = distinct.iter().map(|season| season.year).collect();
    years.dedup();
    let older = years.len().saturating_sub(usize::from(SEASON_LOOKS));
    Classes::Years { years: years.split_off(older), older: older > 0 }
}

impl Classes {
    /// The class of `season`.
    #[must_use]
    pub(super) fn of(&self, season: Season) -> u8 {
        let place = match self {
            Classes::Seasons(seasons) => seasons.partition_point(|one| *one < season),
            Classes::Years { years, .. } => years.partition_point(|year| *year < season.year),
        };
        u8::try_from(place).unwrap_or(u8::MAX)
    }

    /// A class in words.
    #[must_use]
    pub(super) fn words(&self, class: u8) -> String {
        let class = usize::from(class);
        match self {
            Classes::Seasons(seasons) => seasons.get(class).map_or_else(String::new, |season| season.words()),
            Classes::Years { years, older } => match years.get(class) {
                Some(year) if *older && class == 0 => format!("{year} and before"),
                Some(year) => year.to_string(),
                None => String::new(),
            },
        }
    }
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a test may stop at once")]
mod tests {
    use super::*;

    fn season(day: &str, latitude: f64) -> Season {
        Season::of(NaiveDate::parse_from_str(day, "%Y-%m-%d").expect("a day"), latitude)
    }

    #[test]
    fn seasons_are_named_as_they_are_where_the_site_lies() {
        assert_eq!(season("2025-08-20", -36.0).words(), "winter 2025");
        assert_eq!(season("2025-08-20", 52.0).words(), "summer 2025");
        assert_eq!(season("2025-12-20", -36.0).words(), "summer 2025–26");
        assert_eq!(season("2026-02-20", -36.0), season("2025-12-20", -36.0));
        assert_eq!(season("2025-11-03", 8.0).words(), "September–November 2025");
    }

    #[test]
    fn many_seasons_become_years_and_many_years_their_latest() {
        let days: Vec<Season> = (2010..2026).map(|year| season(&format!("{year}-07-01"), -36.0)).collect();
        let classes = classes(&days);
        assert_eq!(classes.words(0), "2020 and before");
        assert_eq!(classes.of(season("2011-07-01", -36.0)), 0);
        assert_eq!(classes.words(classes.of(season("2025-07-01", -36.0))), "2025");
    }
}
