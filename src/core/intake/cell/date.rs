//! Days as people write them.

use chrono::{Datelike as _, NaiveDate, Weekday};

use crate::intake::{limits::YEARS, mapping::DateOrder};

/// A day that was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Day {
    /// It can be no other.
    Certain(NaiveDate),
    /// It could be two days; the first is the one that is taken, day before month.
    Either(NaiveDate, NaiveDate),
}

/// Why a text is no day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct NoDay {
    /// The reason, as the end of a sentence.
    pub(crate) why: String,
    /// The day that was most likely meant.
    pub(crate) nearest: Option<NaiveDate>,
}

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// The weekdays as they are told.
pub(crate) const NAMES: [&str; 7] =
    ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];

const WEEKDAYS: [&str; 7] = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];

/// Why a year is no day.
pub(crate) const YEAR_ALONE: &str = "it is a year alone";

/// A part of a date between its separators.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Part {
    Number { value: u32, digits: usize },
    Month(u32),
}

/// The weekday that stands before a day, as in `Tue 3 June 2025`.
pub(crate) fn weekday(text: &str) -> Option<Weekday> {
    let word = text.trim().split(|letter: char| !letter.is_alphabetic()).next()?.to_lowercase();
    let nth = named(&WEEKDAYS, &word)?;
    Weekday::try_from(u8::try_from(nth).ok()? - 1).ok()
}

/// The day in `text`: ISO 8601 first, else in the order that `order` says, else in the only order that makes a day, else in the order in which
/// its weekday is right.
pub(crate) fn day(text: &str, order: DateOrder) -> Result<Day, NoDay> {
    let day = bare_day(text, order)?;
    match (day, weekday(text)) {
        (Day::Either(one, other), Some(weekday)) => {
            match (one.weekday() == weekday, other.weekday() == weekday) {
                (true, false) => Ok(Day::Certain(one)),
                (false, true) => Ok(Day::Certain(other)),
                _ => Ok(day),
            }
        }
        _ => Ok(day),
    }
}

/// The same of a day without its weekday.
fn bare_day(text: &str, order: DateOrder) -> Result<Day, NoDay> {
    let parts = parts(text).ok_or_else(|| no_day("it is written in no way that is known here"))?;
    match parts[..] {
        // ISO 8601 basic form, 20250301.
        [Part::Number { value, digits: 8 }] => certain(value / 10_000, value / 100 % 100, value % 100),
        [Part::Number { value, .. }] => Err(day_number(value)),
        [
            Part::Number { value: year, digits: 4 },
            Part::Number { value: month, .. },
            Part::Number { value: day, .. },
        ]
        | [Part::Number { value: year, digits: 4 }, Part::Month(month), Part::Number { value: day, .. }] => {
            certain(year, month, day)
        }
        [Part::Number { value: day, .. }, Part::Month(month), Part::Number { value, digits }]
        | [Part::Month(month), Part::Number { value: day, .. }, Part::Number { value, digits }] => {
            certain(full_year(value, digits)?, month, day)
        }
        [
            Part::Number { value: one, .. },
            Part::Number { value: other, .. },
            Part::Number { value, digits },
        ] => numeric(one, other, full_year(value, digits)?, order),
        [_, _] => Err(no_day("it lacks the day, the month or the year")),
        _ => Err(no_day("it is written in no way that is known here")),
    }
}

/// The numbers and months of `text`, without weekday, ordinal endings and time of day.
pub(crate) fn parts(text: &str) -> Option<Vec<Part>> {
    let mut parts = Vec::new();
    for word in without_time(text.trim()).split([' ', '\u{a0}', ',', '/', '-', '.', '−', '–']) {
        let letters = word.trim_start_matches(|c: char| c.is_ascii_digit());
        let digits = &word[..word.len() - letters.len()];
        if !digits.is_empty() {
            let value = digits.parse().ok().filter(|_| digits.len() <= 8)?;
            parts.push(Part::Number { value, digits: digits.len() });
        }
        let letters = letters.to_lowercase();
        let ordinal = !digits.is_empty() && ["st", "nd", "rd", "th"].contains(&letters.as_str());
        if letters.is_empty() || ordinal || named(&WEEKDAYS, &letters).is_some() && parts.is_empty() {
            continue;
        }
        // `1Mar2025` runs month and year together.
        let (name, year) =
            letters.split_at(letters.find(|c: char| c.is_ascii_digit()).unwrap_or(letters.len()));
        parts.push(Part::Month(named(&MONTHS, name)?));
        if !year.is_empty() {
            parts.push(Part::Number { value: year.parse().ok()?, digits: year.len() });
        }
    }
    (1..=3).contains(&parts.len()).then_some(parts)
}

/// The place of a name that `word` is, or begins with three letters or more; counted from 1.
fn named(names: &[&str], word: &str) -> Option<u32> {
    (1..).zip(names).find(|(_, name)| word.len() >= 3 && name.starts_with(word)).map(|(nth, _)| nth)
}

fn without_time(text: &str) -> &str {
    // The hour stands between the first colon and the space or T before it.
    match text.split_once(':') {
        Some((before, _)) => {
            let end = before.rfind(|c: char| c.is_whitespace() || c == 'T').unwrap_or(before.len());
            text[..end].trim_end()
        }
        None => text,
    }
}

fn numeric(one: u32, other: u32, year: u32, order: DateOrder) -> Result<Day, NoDay> {
    match order {
        DateOrder::DayFirst => certain(year, other, one),
        DateOrder::MonthFirst => certain(year, one, other),
        DateOrder::Unstated if other > 12 && one <= 12 => certain(year, one, other),
        DateOrder::Unstated if one > 12 || one == other => certain(year, other, one),
        DateOrder::Unstated => match (certain(year, other, one)?, certain(year, one, other)?) {
            (Day::Certain(day_first), Day::Certain(month_first)) => Ok(Day::Either(day_first, month_first)),
            (day, _) => Ok(day),
        },
    }
}

/// The year in full; two digits below 70 are of this century.
fn full_year(value: u32, digits: usize) -> Result<u32, NoDay> {
    match digits {
        4 => Ok(value),
        2 if value < 70 => Ok(2000 + value),
        2 => Ok(1900 + value),
        _ => Err(no_day("it lacks a year of four digits")),
    }
}

fn certain(year: u32, month: u32, day: u32) -> Result<Day, NoDay> {
    let full = i32::try_from(year).unwrap_or(i32::MAX);
    if !(YEARS.0..=YEARS.1).contains(&full) {
        return Err(no_day(&format!("the year {year} is not between {} and {}", YEARS.0, YEARS.1)));
    }
    let Some(first) = NaiveDate::from_ymd_opt(full, month, 1) else {
        return Err(no_day(&format!("there is no month {month}")));
    };
    NaiveDate::from_ymd_opt(full, month, day).map(Day::Certain).ok_or_else(|| {
        let name = first.format("%B %Y");
        let last = (28..=31).rev().find_map(|last| first.with_day(last));
        // The day that was meant is as likely of another month as the last of this one.
        no_day(&format!("{name} has {} days", last.map_or(0, |last| last.day())))
    })
}

fn no_day(why: &str) -> NoDay {
    NoDay { why: why.to_owned(), nearest: None }
}

/// The day in `text`, if it is a spreadsheet's number for one of our times, counted from 30 December 1899 or, in workbooks
/// that say so, from 1 January 1904.
pub(crate) fn counted(text: &str, from_1904: bool) -> Option<NaiveDate> {
    // A time of day stands behind the point.
    let days: u64 = text.trim().split('.').next().filter(|days| days.len() == 5)?.parse().ok()?;
    text.trim().parse::<f64>().ok()?;
    let zero = if from_1904 { (1904, 1, 1) } else { (1899, 12, 30) };
    NaiveDate::from_ymd_opt(zero.0, zero.1, zero.2)
        .and_then(|zero| zero.checked_add_days(chrono::Days::new(days)))
        .filter(|day| (1980..2100).contains(&day.year()))
}

/// A number alone is no day, though it may be a spreadsheet's number for one.
fn day_number(value: u32) -> NoDay {
    match counted(&value.to_string(), false) {
        nearest @ Some(_) => NoDay { why: "it is a spreadsheet's number for a day".to_owned(), nearest },
        None if (YEARS.0..=YEARS.1).contains(&i32::try_from(value).unwrap_or(0)) => no_day(YEAR_ALONE),
        None => no_day("it is a number alone"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn on(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).unwrap()
    }

    fn why(text: &str) -> String {
        day(text, DateOrder::Unstated).unwrap_err().why
    }

    #[test]
    fn days_are_known_in_any_dress() {
        let first_of_march = [
            "2025-03-01",
            "2025-3-1",
            "2025/03/01",
            "20250301",
            "2025-03-01T10:30:00",
            "2025-03-01 00:00",
            "1 Mar 2025",
            "01-Mar-25",
            "1-March-2025",
            "1st March 2025",
            "Sat 1 Mar 2025",
            "Saturday, 1 March 2025",
            "March 1, 2025",
            "Mar. 1 2025",
            "1Mar2025",
            "1 MAR 25",
            "2025 Mar 1",
            "1 Mar 2025 10:30",
            "  2025-03-01 ",
        ];
        for text in first_of_march {
            assert_eq!(day(text, DateOrder::Unstated), Ok(Day::Certain(on(2025, 3, 1))), "{text}");
        }
        assert_eq!(day("5 Sept 99", DateOrder::Unstated), Ok(Day::Certain(on(1999, 9, 5))));
    }

    #[test]
    fn numbers_alone_need_an_order_unless_only_one_makes_a_day() {
        let certain = |year, month, day| Ok(Day::Certain(on(year, month, day)));
        assert_eq!(day("25/3/2025", DateOrder::Unstated), certain(2025, 3, 25));
        assert_eq!(day("3/25/2025", DateOrder::Unstated), certain(2025, 3, 25));
        assert_eq!(day("3/3/25", DateOrder::Unstated), certain(2025, 3, 3));
        assert_eq!(day("3/4/2025", DateOrder::DayFirst), certain(2025, 4, 3));
        assert_eq!(day("3.4.2025", DateOrder::MonthFirst), certain(2025, 3, 4));
        assert_eq!(day("3/4/2025", DateOrder::Unstated), Ok(Day::Either(on(2025, 4, 3), on(2025, 3, 4))));
        assert_eq!(day("3/4/2025 9:15:00 AM", DateOrder::DayFirst), certain(2025, 4, 3));
    }

    #[test]
    fn what_is_no_day_says_why() {
        assert_eq!(why("31/4/2025"), "April 2025 has 30 days");
        assert_eq!(day("29 Feb 2025", DateOrder::Unstated).unwrap_err().nearest, None, "nobody knows");
        assert_eq!(why("2025-13-01"), "there is no month 13");
        assert_eq!(day("3/25/2025", DateOrder::DayFirst).unwrap_err().why, "there is no month 25");
        assert_eq!(why("1/1/0025"), "the year 25 is not between 1900 and 2200");
        assert_eq!(why("Mar 2025"), "it lacks the day, the month or the year");
        assert_eq!(day("45717", DateOrder::Unstated).unwrap_err().nearest, Some(on(2025, 3, 1)));
        for text in ["", "soon", "1 Ma 2025", "1/2/3/4", "99999999999", "1/2/3", "12"] {
            assert!(day(text, DateOrder::Unstated).is_err(), "{text}");
        }
    }

    #[test]
    fn a_spreadsheets_number_is_a_day_of_our_times() {
        assert_eq!(counted("45717", false), Some(on(2025, 3, 1)));
        assert_eq!(counted(" 44255.4375 ", true), Some(on(2025, 3, 1)));
        for none in ["1200", "2025", "99999", "45717 x", "2025-03-01", "", "-5717"] {
            assert_eq!(counted(none, false), None, "{none}");
        }
    }

    proptest! {
        #[test]
        fn any_text_is_a_day_or_none(text in ".*") {
            for order in [DateOrder::Unstated, DateOrder::DayFirst, DateOrder::MonthFirst] {
                let _ = day(&text, order);
            }
        }

        #[test]
        fn a_printed_day_is_read_back(days in 0..109_000u64, form in 0..7usize) {
            let written = on(1900, 1, 1) + chrono::Days::new(days);
            let (form, order) = [
                ("%Y-%m-%d", DateOrder::MonthFirst),
                ("%Y%m%d", DateOrder::DayFirst),
                ("%d/%m/%Y", DateOrder::DayFirst),
                ("%-m/%-d/%Y", DateOrder::MonthFirst),
                ("%-d %b %Y", DateOrder::Unstated),
                ("%A, %B %-d, %Y", DateOrder::Unstated),
                ("%Y-%m-%dT%H:%M:%S", DateOrder::Unstated),
            ][form];
            let text = written.and_hms_opt(10, 30, 0).unwrap().format(form).to_string();
            prop_assert_eq!(day(&text, order), Ok(Day::Certain(written)), "{}", text);
        }
    }
}
