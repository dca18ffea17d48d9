//! Rounds of survey: the days on which plots were visited, put together.

use chrono::{Days, NaiveDate};

use crate::project::{CoverReading, Period, Project, Stem};

/// Days between two visits from which the later belongs to the next round (common practice, no source).
const APART: i64 = 31;

/// Days after which a round ends in any case, so that weekly visits don't run into one for ever (common practice, no source).
const LONGEST: u64 = 92;

impl Project {
    /// The rounds of survey up to the period's end, in order of time, each from its first day to its last: days on which plots were
    /// counted, measured or read belong together while no more than a month lies between two of them.
    #[must_use]
    pub fn rounds(&self) -> Vec<Period> {
        let tallied = self.tallies.iter().map(|tally| tally.date);
        let measured = self.stems.iter().map(|stem| stem.date);
        let read = self.cover.iter().map(|reading| reading.date);
        let days = tallied.chain(measured).chain(read).filter(|&day| day <= self.period.to);
        let mut days: Vec<NaiveDate> = days.collect();
        days.sort_unstable();
        days.dedup();
        let mut rounds: Vec<Period> = Vec::new();
        for day in days {
            match rounds.last_mut() {
                Some(round) if goes_on(round, day) => round.to = day,
                _ => rounds.push(Period { from: day, to: day }),
            }
        }
        rounds
    }

    /// The latest round in which a stem was measured of which `of` is true.
    #[must_use]
    pub fn latest_measured(&self, of: impl Fn(&Stem) -> bool) -> Option<Period> {
        self.latest_round(self.stems.iter().filter(|stem| of(stem)).map(|stem| stem.date))
    }

    /// The latest round in which a cover was read of which `of` is true.
    #[must_use]
    pub fn latest_read(&self, of: impl Fn(&CoverReading) -> bool) -> Option<Period> {
        self.latest_round(self.cover.iter().filter(|reading| of(reading)).map(|reading| reading.date))
    }

    fn latest_round(&self, days: impl Iterator<Item = NaiveDate>) -> Option<Period> {
        let last = days.filter(|&day| day <= self.period.to).max()?;
        self.rounds().into_iter().find(|round| round.holds(last))
    }
}

fn goes_on(round: &Period, day: NaiveDate) -> bool {
    let end = round.from.checked_add_days(Days::new(LONGEST)).unwrap_or(NaiveDate::MAX);
    (day - round.to).num_days() <= APART && day <= end
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    #[test]
    fn a_round_ends_after_a_month_of_rest_or_after_a_quarter() {
        let round = Period { from: day("2025-05-01"), to: day("2025-05-20") };
        assert!(goes_on(&round, day("2025-06-20")));
        assert!(!goes_on(&round, day("2025-06-21")));
        let long = Period { from: day("2025-05-01"), to: day("2025-07-30") };
        assert!(goes_on(&long, day("2025-08-01")));
        assert!(!goes_on(&long, day("2025-08-02")));
    }
}
