//! Rounds of survey: the days on which plots were visited, put together.

use chrono::{Days, NaiveDate};

use crate::project::{Period, Project};

/// Days between two visits from which the later belongs to the next round (common practice, no source).
const APART: i64 = 31;

/// Days after which a round ends in any case, so that weekly visits don't run into one for ever (common practice, no source).
const LONGEST: u64 = 92;

/// The rounds of survey up to the period's end, in order of time, each from its first day to its last.
#[must_use]
pub fn rounds(project: &Project) -> Vec<Period> {
    let tallied = project.tallies.iter().map(|tally| tally.date);
    let measured = project.stems.iter().map(|stem| stem.date);
    let read = project.cover.iter().map(|reading| reading.date);
    let days = tallied.chain(measured).chain(read).filter(|&day| day <= project.period.to);
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

fn goes_on(round: &Period, day: NaiveDate) -> bool {
    let end = round.from.checked_add_days(Days::new(LONGEST)).unwrap_or(NaiveDate::MAX);
    (day - round.to).num_days() <= APART && day <= end
}

/// All time up to the period's end.
#[must_use]
pub fn to_date(project: &Project) -> Period {
    Period { from: NaiveDate::MIN, to: project.period.to }
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
