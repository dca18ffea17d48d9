//! Which comes first in the days of a column, the day or the month, where nobody says so: told by the days that leave no choice.

use chrono::NaiveDate;

use crate::intake::{
    cell::date::{Day, Part, day, parts},
    mapping::DateOrder,
};

/// Days between a day and the others of its column from which it is told apart by them (common practice, no source).
const NEAR: i64 = 31;

/// So many days that are sure speak against one.
const MANY: usize = 5;

/// What the days of a column show.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Shown {
    /// Nothing: they could be in either order, or contradict one another.
    Nothing,
    /// So many of them can only be in this order; the first of them is told.
    ByForm(DateOrder, String, usize),
    /// In this order alone they lie near the others, which are of these days.
    ByNearness(DateOrder, NaiveDate, NaiveDate),
}

impl Shown {
    /// The order.
    pub(crate) fn order(&self) -> DateOrder {
        match self {
            Shown::Nothing => DateOrder::Unstated,
            Shown::ByForm(order, ..) | Shown::ByNearness(order, ..) => *order,
        }
    }
}

/// What the days in `cells` show.
pub(crate) fn shown<'a>(cells: impl Iterator<Item = &'a str> + Clone) -> Shown {
    let (day_first, month_first): (Vec<&str>, Vec<&str>) = (
        cells.clone().filter(|cell| only(cell) == DateOrder::DayFirst).collect(),
        cells.clone().filter(|cell| only(cell) == DateOrder::MonthFirst).collect(),
    );
    let by_form = |order, cells: &[&str]| Shown::ByForm(order, cells[0].to_owned(), cells.len());
    match (day_first.is_empty(), month_first.is_empty()) {
        (false, true) => by_form(DateOrder::DayFirst, &day_first),
        (true, false) => by_form(DateOrder::MonthFirst, &month_first),
        (false, false) => Shown::Nothing,
        (true, true) => by_nearness(cells),
    }
}

/// The only order that makes a day of the cell.
fn only(cell: &str) -> DateOrder {
    let parts = parts(cell).and_then(|parts| <[Part; 3]>::try_from(parts).ok());
    match parts {
        Some(
            [
                Part::Number { value: one, digits: 1..=2 },
                Part::Number { value: other, .. },
                Part::Number { .. },
            ],
        ) => match (one, other) {
            (13..=31, 1..=12) => DateOrder::DayFirst,
            (1..=12, 13..=31) => DateOrder::MonthFirst,
            _ => DateOrder::Unstated,
        },
        _ => DateOrder::Unstated,
    }
}

fn by_nearness<'a>(cells: impl Iterator<Item = &'a str>) -> Shown {
    let (mut certain, mut either) = (Vec::new(), Vec::new());
    for cell in cells {
        match day(cell, DateOrder::Unstated) {
            Ok(Day::Certain(day)) => certain.push(day),
            Ok(Day::Either(day_first, month_first)) => either.push((day_first, month_first)),
            Err(_) => {}
        }
    }
    // A day that is itself a slip lies near other slips: many speak against few.
    let near = |day: NaiveDate| certain.iter().filter(move |other| (**other - day).num_days().abs() <= NEAR);
    let beside = |days: &mut dyn Iterator<Item = NaiveDate>| days.map(|day| near(day).count()).sum::<usize>();
    let day_first = beside(&mut either.iter().map(|days| days.0));
    let month_first = beside(&mut either.iter().map(|days| days.1));
    let (order, days): (_, Vec<NaiveDate>) = match (day_first, month_first) {
        (day, month) if day >= MANY * month.max(1) || month == 0 && day > 0 => {
            (DateOrder::DayFirst, either.iter().map(|days| days.0).collect())
        }
        (day, month) if month >= MANY * day.max(1) || day == 0 && month > 0 => {
            (DateOrder::MonthFirst, either.iter().map(|days| days.1).collect())
        }
        _ => return Shown::Nothing,
    };
    let others = || days.iter().flat_map(|day| near(*day)).copied();
    match (others().min(), others().max()) {
        (Some(first), Some(last)) => Shown::ByNearness(order, first, last),
        _ => Shown::Nothing,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn order(days: &[&str]) -> DateOrder {
        shown(days.iter().copied()).order()
    }

    #[test]
    fn a_column_tells_its_order_when_its_days_agree() {
        assert_eq!(order(&["1/2/2025", "2025-03-20", "20/3/2025"]), DateOrder::DayFirst);
        assert_eq!(order(&["1/2/2025", "3/20/2025"]), DateOrder::MonthFirst);
        assert_eq!(order(&["20/3/2025", "3/20/2025"]), DateOrder::Unstated);
        assert_eq!(order(&["1/2/2025", "later"]), DateOrder::Unstated);
        assert_eq!(
            shown(["3/20/2025", "1/2/2025", "3/21/2025"].into_iter()),
            Shown::ByForm(DateOrder::MonthFirst, "3/20/2025".to_owned(), 2)
        );
    }

    #[test]
    fn days_that_are_sure_tell_of_others_near_them() {
        let in_may = ["2026-05-13", "05/12/2026", "14 May 2026"];
        let day = |day| NaiveDate::from_ymd_opt(2026, 5, day).unwrap();
        assert_eq!(shown(in_may.into_iter()), Shown::ByNearness(DateOrder::MonthFirst, day(13), day(14)));
        assert_eq!(order(&["2026-05-13", "12/05/2026"]), DateOrder::DayFirst);
        assert_eq!(order(&["2026-05-13", "12/05/2026", "05/12/2026"]), DateOrder::Unstated, "one of each");
        assert_eq!(
            order(&["2025-12-01", "2025-05-13", "12/05/2025"]),
            DateOrder::Unstated,
            "each is near one"
        );
        let many = ["2026-05-13"; 5];
        let beside_a_slip: Vec<&str> = many.into_iter().chain(["2026-11-05", "05/12/2026"]).collect();
        assert_eq!(order(&beside_a_slip), DateOrder::MonthFirst);
        assert_eq!(order(&["2026-05-13", "05/05/2026"]), DateOrder::Unstated, "no choice");
    }
}
