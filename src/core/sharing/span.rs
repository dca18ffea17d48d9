//! The reporting period in which a shared row falls: what was done in it says who bears the row, and nothing that comes later.
//!
//! Periods follow one another, each as long as the one of `project.toml`, before it and after it. An agreement with a period of its own
//! cuts them where its own end, so that what it has reported never changes.

use chrono::{Datelike as _, Months, NaiveDate};

use crate::project::{Payer, Period, Project, ShareOver, Sharing, Spending};

/// What a rule counts for one row: whose, and of which days.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Falling {
    /// The days of the records that are counted.
    pub(super) within: Period,
    /// The payers who were in force on the row's day.
    pub(super) payers: Vec<Payer>,
}

/// Where a payment falls under `rule`: on the first of the days that count for those who share it, so that it settles with the year of
/// the one who reports it first.
pub(super) fn of_payment(project: &Project, rule: &Sharing, row: &Spending) -> Falling {
    let day_for = |payer: &Payer| match payer {
        Payer::Agreement(id) => {
            let agreement = project.agreement(id)?;
            let day = agreement.dates.day(row);
            agreement.admits(day).then_some(day)
        }
        Payer::Own | Payer::Unclaimed => Some(row.date),
    };
    falling(project, rule, row.date, day_for)
}

/// Where a work of `day` falls under `rule`.
pub(super) fn of_day(project: &Project, rule: &Sharing, day: NaiveDate) -> Falling {
    let day_for = |payer: &Payer| match payer {
        Payer::Agreement(id) => project.agreement(id)?.admits(day).then_some(day),
        Payer::Own | Payer::Unclaimed => Some(day),
    };
    falling(project, rule, day, day_for)
}

fn falling(
    project: &Project,
    rule: &Sharing,
    otherwise: NaiveDate,
    day_for: impl Fn(&Payer) -> Option<NaiveDate>,
) -> Falling {
    let sharing = rule.between.iter().filter_map(|(payer, _)| Some((payer.clone(), day_for(payer)?)));
    let (payers, days): (Vec<Payer>, Vec<NaiveDate>) = sharing.unzip();
    let day = days.into_iter().min().unwrap_or(otherwise);
    let own = rule.between.iter().filter_map(|(payer, _)| match payer {
        Payer::Agreement(id) => project.agreement(id)?.period,
        Payer::Own | Payer::Unclaimed => None,
    });
    let whole = own.fold(period_of(project.period, day), |so_far, own| overlap(so_far, period_of(own, day)));
    let begins = match rule.over {
        ShareOver::Period => whole.from,
        ShareOver::ToDate => NaiveDate::MIN,
    };
    let within = Period {
        from: rule.from.map_or(begins, |from| from.max(begins)),
        to: rule.to.map_or(whole.to, |to| to.min(whole.to)),
    };
    Falling { within, payers }
}

/// The days of both.
pub(super) fn overlap(one: Period, other: Period) -> Period {
    Period { from: one.from.max(other.from), to: one.to.min(other.to) }
}

/// Of periods that follow one another as `like` does, the one that holds `day`. A period that is not of whole months stands among years.
fn period_of(like: Period, day: NaiveDate) -> Period {
    let next = like.to.succ_opt().unwrap_or(like.to);
    let months = months_between(like.from, next);
    let step = if months > 0 && later(like.from, months) == next { months } else { 12 };
    let mut number = months_between(like.from, day).div_euclid(step);
    if later(like.from, number * step) > day {
        number -= 1;
    }
    let from = later(like.from, number * step);
    let after = later(like.from, (number + 1) * step);
    Period { from, to: after.pred_opt().unwrap_or(after) }
}

fn months_between(from: NaiveDate, to: NaiveDate) -> i32 {
    (to.year() - from.year()) * 12 + to.month().cast_signed() - from.month().cast_signed()
}

fn later(day: NaiveDate, months: i32) -> NaiveDate {
    let by = Months::new(months.unsigned_abs());
    let moved = if months < 0 { day.checked_sub_months(by) } else { day.checked_add_months(by) };
    moved.unwrap_or(day)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn holding(from: &str, to: &str, at: &str) -> String {
        let day = |text: &str| text.parse::<NaiveDate>().unwrap_or_default();
        let found = period_of(Period { from: day(from), to: day(to) }, day(at));
        format!("{} {}", found.from, found.to)
    }

    #[test]
    fn periods_follow_one_another_as_long_as_the_one_that_is_set() {
        let year = |at| holding("2025-07-01", "2026-06-30", at);
        assert_eq!(year("2025-07-01"), "2025-07-01 2026-06-30");
        assert_eq!(year("2026-06-30"), "2025-07-01 2026-06-30");
        assert_eq!(year("2025-06-30"), "2024-07-01 2025-06-30");
        assert_eq!(year("2023-08-28"), "2023-07-01 2024-06-30");
        assert_eq!(year("2031-01-05"), "2030-07-01 2031-06-30");
        // The next year's period gives the same years.
        assert_eq!(holding("2026-07-01", "2027-06-30", "2025-07-01"), year("2025-07-01"));
        let half = |at| holding("2026-01-01", "2026-06-30", at);
        assert_eq!(half("2025-08-20"), "2025-07-01 2025-12-31");
        assert_eq!(holding("2025-07-01", "2025-12-31", "2026-02-03"), half("2026-02-03"));
        assert_eq!(holding("2025-03-15", "2026-03-14", "2025-03-14"), "2024-03-15 2025-03-14");
        // Of no whole months: years that begin where it does.
        assert_eq!(holding("2025-03-15", "2025-10-02", "2026-03-15"), "2026-03-15 2027-03-14");
    }
}
