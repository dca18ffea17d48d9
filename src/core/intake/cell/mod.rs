//! The cells of one row as typed values; whatever is wrong with one is said with its row, its column and the row to see.

pub(crate) mod date;
pub(crate) mod date_order;
mod money;
pub(crate) mod number;
mod taken;

use chrono::{Datelike as _, Days, NaiveDate, Weekday};

pub(crate) use taken::{Taken, Way, as_clock, is_clock};

use crate::{
    intake::{
        cell::{date::Day, number::Mark},
        ids::Ids,
        limits,
        mapped::Pattern,
        nearest::nearest,
        table::{Record, Table, key},
    },
    problem::{Kind, Place, Problem, Reading, Records},
    source::Row,
    units::{self, Metres, Stems, whole},
};

/// The least length that anybody measures, in the column's own unit: what lies below is a slip of the exponent.
const LEAST_LENGTH: f64 = 0.001;

/// One row of a table while it is read.
///
/// A getter gives `None` for an empty cell, for a column that the file does not have, and for a cell that can't be read;
/// only the last is a problem here. That a required cell is empty is said once, when the row is begun.
pub(crate) struct Cells<'a> {
    table: &'a Table,
    record: &'a Record,
    problems: &'a mut Vec<Problem>,
    taken: &'a mut Taken,
}

/// What a number in a cell must be.
struct Wanted<'a> {
    least: f64,
    most: f64,
    /// Whether it has no decimals.
    whole: bool,
    /// The same in words.
    words: &'a str,
}

/// Why a cell holds no such number.
enum NoValue {
    NoNumber,
    /// It holds this one.
    Outside(f64),
}

/// The text of a cell without the sign of its column's own unit, which says nothing new.
fn bare<'a>(column: &str, text: &'a str) -> &'a str {
    match column.rsplit('_').next() {
        Some("percent") => text.trim_end_matches('%'),
        Some("deg") => text.trim_end_matches('°'),
        _ => text,
    }
}

impl<'a> Cells<'a> {
    /// All that stands in its cells.
    pub(crate) fn texts(&self) -> impl Iterator<Item = &str> {
        self.record.cells.iter().map(|cell| cell.as_str()).filter(|cell| !cell.is_empty())
    }

    /// Begins a row.
    pub(crate) fn of(
        table: &'a Table,
        record: &'a Record,
        problems: &'a mut Vec<Problem>,
        taken: &'a mut Taken,
    ) -> Cells<'a> {
        Cells { table, record, problems, taken }
    }

    /// Says which of the row's required cells are empty, but for the one that is `spared`.
    pub(crate) fn refuse_empty(&mut self, spared: Option<&str>) {
        for column in self.table.layout.required.iter().filter(|column| Some(**column) != spared) {
            let empty = |(at, _)| self.record.cell(at).is_empty() && !self.table.is_excused(self.record);
            if self.column(column).is_some_and(empty) {
                let table = self.table.layout.table;
                self.say(column, Reading::CellEmpty { table, column: (*column).to_owned(), above: None });
            }
        }
    }

    /// Where a cell stands; the row where the file has no such column.
    pub(crate) fn place(&self, column: &str) -> Place {
        match self.column(column) {
            Some((at, _)) => self.table.place(self.record, at),
            None => Place { column: None, ..self.table.place(self.record, 0) },
        }
    }

    /// Remembers that a name was read as another, to be told once.
    pub(crate) fn take_name(&mut self, column: &str, found: &str, name: &str) {
        let row = (self.record.part, self.record.row);
        self.taken.add(row, column, Way::Name(found.to_lowercase()), found, name);
    }

    /// The part of the table that the row stands in, and its number there.
    pub(crate) fn at(&self) -> (u16, u32) {
        (self.record.part, self.record.row)
    }

    /// Where the row stands.
    pub(crate) fn source(&self) -> Row {
        Row { file: self.table.path_of(self.record).clone(), row: self.record.row }
    }

    /// Adds a problem at a column; at the row where the file has no such column.
    pub(crate) fn say(&mut self, column: &str, kind: impl Into<Kind>) {
        let place = self.place(column);
        self.problems.push(Problem::new(kind, place));
    }

    /// The cell as typed, without the space around it.
    pub(crate) fn raw(&self, column: &str) -> Option<&'a str> {
        let (at, _) = self.column(column)?;
        Some(self.record.cell(at)).filter(|cell| !cell.is_empty())
    }

    /// Whether the settings say that the sum of the row came in, by what stands in another of its columns.
    pub(crate) fn came_in(&self) -> bool {
        let is = |(column, patterns): (&String, &Vec<Pattern>)| {
            let at = self.table.place_of(column);
            at.is_some_and(|at| patterns.iter().any(|pattern| pattern.found(self.record.cell(at)).is_some()))
        };
        self.table.mapping.came_in.iter().any(is)
    }

    /// Free text, its lines ended alike.
    pub(crate) fn text(&self, column: &str) -> Option<String> {
        self.raw(column).map(|text| text.replace("\r\n", "\n").replace('\r', "\n"))
    }

    /// A day.
    pub(crate) fn day(&mut self, column: &str) -> Option<NaiveDate> {
        let found = self.raw(column)?;
        match date::day(found, self.table.dates(self.record)) {
            Ok(Day::Certain(day)) => {
                if let Some(weekday) = date::weekday(found).filter(|weekday| *weekday != day.weekday()) {
                    self.doubt_weekday(column, day, weekday);
                }
                Some(day)
            }
            Ok(Day::Either(day, other)) => {
                let (read_as, other) = (units::day(day), units::day(other));
                let (table, found) = (self.table.layout.table, found.to_owned());
                self.say(column, Reading::DateAmbiguous { table, found, read_as, other, cells: 1 });
                Some(day)
            }
            Err(wrong) => {
                let nearest = wrong.nearest.map(|day| day.to_string());
                let heading = self.column(column).and_then(|(at, _)| self.table.headings().nth(at));
                let year = wrong.why == date::YEAR_ALONE;
                let kind = match heading.filter(|_| year) {
                    Some(heading) => Reading::YearAlone {
                        table: self.table.layout.table,
                        found: found.to_owned(),
                        column: column.to_owned(),
                        heading: heading.to_owned(),
                    },
                    None => Reading::DateUnreadable { found: found.to_owned(), why: wrong.why, nearest },
                };
                self.say(column, kind);
                None
            }
        }
    }

    /// Says that a day is no such weekday, and which days near it are.
    fn doubt_weekday(&mut self, column: &str, day: NaiveDate, weekday: Weekday) {
        let apart = (7 + weekday.num_days_from_monday() - day.weekday().num_days_from_monday()) % 7;
        let (after, before) = (u64::from(apart), u64::from(7 - apart));
        let near = [day.checked_sub_days(Days::new(before)), day.checked_add_days(Days::new(after))];
        let near: Vec<String> = near.into_iter().flatten().map(units::day).collect();
        let kind = Reading::WeekdayDiffers {
            day: units::day(day),
            is: date::NAMES[day.weekday().num_days_from_monday() as usize],
            said: date::NAMES[weekday.num_days_from_monday() as usize],
            near: near.join(" and "),
        };
        self.say(column, kind);
    }

    /// A number from `least` to `most`, which `wanted` describes; `NaN` and infinities are none.
    pub(crate) fn number(&mut self, column: &str, (least, most): (f64, f64), wanted: &str) -> Option<f64> {
        self.wanted(column, &Wanted { least, most, whole: false, words: wanted })
    }

    /// A whole number from `least` to `most`.
    pub(crate) fn whole(&mut self, column: &str, (least, most): (u32, u32), wanted: &str) -> Option<u32> {
        let wanted = Wanted { least: least.into(), most: most.into(), whole: true, words: wanted };
        self.wanted(column, &wanted).map(|value| value as u32)
    }

    /// A count of stems.
    pub(crate) fn stems(&mut self, column: &str) -> Option<Stems> {
        let words = "a count of stems: a whole number, 0 or more";
        let (limit, found) = (limits::COUNT, self.raw(column)?);
        let wanted = Wanted { least: 0.0, most: limit as f64, whole: true, words };
        match self.value(column, found, &wanted) {
            Err(NoValue::Outside(value))
                if (limit as f64..=u32::MAX.into()).contains(&value) && value.fract() == 0.0 =>
            {
                self.say(column, Records::CountTooBig { found: value as u64, limit });
                None
            }
            _ => self.wanted(column, &wanted).map(|value| Stems(value as u64)),
        }
    }

    /// The number in a cell, or what is wrong with it said.
    fn wanted(&mut self, column: &str, wanted: &Wanted<'_>) -> Option<f64> {
        let found = self.raw(column)?;
        if let Some(value) = self.otherwise(column, found, wanted) {
            return Some(value);
        }
        match self.value(column, found, wanted) {
            Ok(value) => return Some(value),
            Err(NoValue::Outside(_)) => {
                let (found, wanted) = (found.to_owned(), wanted.words.to_owned());
                self.say(column, Reading::OutOfRange { found, wanted });
            }
            Err(NoValue::NoNumber) => {
                let bare = bare(column, found);
                let is_meant = column != "hours" || taken::may_be_hours(found);
                let valid = |guess: &str| is_meant && self.value(column, guess, wanted).is_ok();
                let nearest = self.nearest_number(bare, valid);
                self.say_no_number(column, bare, wanted.words, nearest);
            }
        }
        None
    }

    /// The number that a cell says otherwise than by a number; what may not be exact is remembered, to be told.
    fn otherwise(&mut self, column: &str, found: &str, wanted: &Wanted<'_>) -> Option<f64> {
        let row = (self.record.part, self.record.row);
        if let Some(number) = taken::about(found) {
            let value = self.value(column, number, wanted).ok()?;
            self.taken.add(row, column, Way::About, found, number);
            return Some(value);
        }
        if column == "mm" && (taken::is_trace(found) || taken::is_none(found)) {
            self.taken.add(row, column, Way::Trace, found, "0");
            return Some(0.0);
        }
        if column == "size_m2"
            && let Some((long, wide)) = taken::sides(found)
        {
            let side = |text: &str| number::plain(text, self.mark())?.parse::<f64>().ok();
            let size = side(long)? * side(wide)?;
            let size = (wanted.least..=wanted.most).contains(&size).then_some(size)?;
            self.taken.add(row, column, Way::Sides(found.to_owned()), found, &format!("{size} m²"));
            return Some(size);
        }
        let value = match column {
            "hours" => taken::hours(found),
            // A point in a position begins the decimals, whatever does in the rest of the file: thousands of degrees there are none.
            "longitude" | "latitude" => taken::degrees(found).or_else(|| taken::decimals(found, 1)),
            // So it does behind more digits than stand before a thousand.
            "easting" | "northing" => taken::decimals(found, 4),
            "mm" => taken::length(found)
                .filter(|(_, unit)| *unit == 1.0)
                .and_then(|(number, _)| self.value(column, number, wanted).ok()),
            _ => self.measured(column, found),
        };
        value.filter(|value| (wanted.least..=wanted.most).contains(value))
    }

    /// A length that brings its own unit, in the column's.
    fn measured(&self, column: &str, found: &str) -> Option<f64> {
        let own = [("_mm", 1.0), ("_cm", 10.0), ("_m", 1000.0)];
        let (_, ours) = own.iter().find(|(unit, _)| column.ends_with(unit))?;
        let (number, theirs) = taken::length(found)?;
        let number: f64 = number::plain(number, self.mark())?.parse().ok()?;
        Some(number * theirs / ours)
    }

    /// What the column makes of `text`.
    fn value(&self, column: &str, text: &str, wanted: &Wanted<'_>) -> Result<f64, NoValue> {
        let (from, to) = self.column(column).map_or((1.0, 1.0), |(_, unit)| unit);
        let read = |mark| {
            let number = number::plain(bare(column, text), mark)?.parse::<f64>().ok()?;
            number.is_finite().then_some(number * from / to)
        };
        let is_wanted = |value: &f64| {
            (wanted.least..=wanted.most).contains(value) && (!wanted.whole || value.fract() == 0.0)
        };
        let Some(value) = read(self.mark()) else {
            // Of a count that could be two numbers, one has decimals and is none.
            let either = [read(Mark::Point), read(Mark::Comma)];
            let of_both = either.iter().all(Option::is_some) && wanted.whole && self.mark() == Mark::Unclear;
            let mut whole = either.into_iter().flatten().filter(is_wanted);
            return match (of_both, whole.next(), whole.next()) {
                (true, Some(count), None) => Ok(count),
                _ => Err(NoValue::NoNumber),
            };
        };
        if is_wanted(&value) { Ok(value) } else { Err(NoValue::Outside(value)) }
    }

    /// The number that `found`, which is none, most likely means; `None` unless it would be `valid` in its place.
    fn nearest_number(&self, found: &str, valid: impl Fn(&str) -> bool) -> Option<String> {
        number::likely(found, self.mark()).filter(|guess| guess != found && valid(guess))
    }

    fn say_no_number(&mut self, column: &str, found: &str, wanted: &str, nearest: Option<String>) {
        let (point, comma) = (number::plain(found, Mark::Point), number::plain(found, Mark::Comma));
        let (found, wanted) = (found.to_owned(), wanted.to_owned());
        let kind = match (point, comma) {
            (Some(one), Some(other)) if one != other => {
                Reading::NumberAmbiguous { table: self.table.layout.table, found, one, other }
            }
            _ => Reading::NumberUnreadable { found, wanted, nearest },
        };
        self.say(column, kind);
    }

    /// A length in the column's own unit, a thousandth of it at the least and at most `most`.
    pub(crate) fn length(&mut self, column: &str, most: f64) -> Option<f64> {
        let unit = column.rsplit('_').next().unwrap_or_default();
        let wanted = format!("a length from {LEAST_LENGTH} to {} {unit}", whole(most as u64));
        self.number(column, (LEAST_LENGTH, most), &wanted)
    }

    /// A length in metres, more than nothing and at most `most`.
    pub(crate) fn metres(&mut self, column: &str, most: f64) -> Option<Metres> {
        self.length(column, most).map(Metres)
    }

    /// A year.
    pub(crate) fn year(&mut self, column: &str) -> Option<i32> {
        let (first, last) = limits::YEARS;
        let found = self.raw(column)?;
        // A whole date stands for its year.
        if let Ok(Day::Certain(day) | Day::Either(day, _)) = date::day(found, self.table.dates(self.record)) {
            return Some(day.year());
        }
        let wanted = format!("a year from {first} to {last}");
        let year = self.whole(column, (first.unsigned_abs(), last.unsigned_abs()), &wanted)?;
        i32::try_from(year).ok()
    }

    /// One of the words of the column, which `words` spells; case, spaces and hyphens don't matter.
    pub(crate) fn word<T: Copy>(
        &mut self,
        column: &str,
        all: &[T],
        words: fn(T) -> &'static str,
    ) -> Option<T> {
        let pairs: Vec<(T, &str)> = all.iter().map(|&one| (one, words(one))).collect();
        self.named(column, &pairs)
    }

    /// One of the words of the column, each beside what it stands for.
    pub(crate) fn named<T: Copy>(&mut self, column: &str, words: &[(T, &str)]) -> Option<T> {
        let found = self.raw(column)?;
        let plain = |text: &str| key(text).replace('_', "");
        let wanted = plain(found);
        let named = words.iter().find(|(_, word)| plain(word) == wanted);
        if named.is_none() {
            let known: Vec<String> = words.iter().map(|(_, word)| (*word).to_owned()).collect();
            let nearest = nearest(found, known.iter().map(String::as_str));
            self.say(column, Reading::WordUnknown { found: found.to_owned(), known, nearest });
        }
        named.map(|(one, _)| *one)
    }

    /// Yes or no.
    pub(crate) fn yes(&mut self, column: &str) -> Option<bool> {
        match self.raw(column)?.to_lowercase().as_str() {
            "y" | "true" | "1" => Some(true),
            "n" | "false" | "0" => Some(false),
            _ => self.named(column, &[(true, "yes"), (false, "no")]),
        }
    }

    /// An id that must be one of `ids`, as it is written there.
    pub(crate) fn id(&mut self, column: &str, ids: &Ids) -> Option<std::sync::Arc<str>> {
        let found = self.raw(column)?;
        let id = ids.get(found);
        if id.is_none() && ids.complete {
            self.say(column, ids.unknown(found));
        }
        id
    }

    fn mark(&self) -> Mark {
        self.table.mark(self.record)
    }

    fn column(&self, column: &str) -> Option<(usize, (f64, f64))> {
        self.table.position(column)
    }
}

#[cfg(test)]
mod tests {
    use std::sync::LazyLock;

    use super::*;
    use crate::intake::{mapping::Mapping, table::Layout};
    use proptest::prelude::*;

    static LAYOUT: LazyLock<Layout> = LazyLock::new(|| Layout {
        table: "plots",
        required: vec!["stems"],
        optional: vec!["slope_percent", "length_m", "amount"],
    });

    /// What is said of `cell` where it stands in `column` of a table with semicolons in which `like` is a number.
    fn said(cell: &str, column: &str, like: &str) -> Vec<Problem> {
        let cells =
            LAYOUT.columns().map(|of| if of == column { format!("\"{cell}\"") } else { "1".to_owned() });
        let headings: Vec<&str> = LAYOUT.columns().collect();
        let cells: Vec<String> = cells.collect();
        let text = format!("{}\n{}\n1;1;{like};1\n", headings.join(";"), cells.join(";"));
        let mut problems = Vec::new();
        let table = Table::open(&LAYOUT, "plots.csv", &text, &Mapping::default(), &mut Vec::new()).unwrap();
        table.each(&mut problems, |row| {
            row.stems("stems");
            row.number("slope_percent", (0.0, 150.0), "a slope");
            row.length("length_m", 100.0);
            row.money("amount", "AUD");
            Some(())
        });
        problems
    }

    fn nearest(problems: &[Problem]) -> Option<String> {
        problems.iter().find_map(|problem| match &problem.kind {
            Kind::Reading(Reading::NumberUnreadable { nearest, .. }) => nearest.clone(),
            _ => None,
        })
    }

    #[test]
    fn a_number_that_would_be_refused_is_not_offered() {
        for (cell, column, offered) in [
            ("5x", "stems", Some("5")),
            ("2O", "stems", Some("20")),
            ("-5x", "stems", None),
            ("1.5x", "stems", None),
            ("2000000 stems", "stems", None),
            ("2OO", "slope_percent", None),
            ("2O%", "slope_percent", Some("20")),
            ("0 m", "length_m", None),
            ("-5x", "length_m", None),
            ("1O.50 dollars", "amount", Some("10.50")),
            ("IOeO", "amount", None),
        ] {
            assert_eq!(nearest(&said(cell, column, "1.5")).as_deref(), offered, "{cell} as {column}");
        }
    }

    #[test]
    fn a_number_is_offered_as_its_table_has_it() {
        assert_eq!(nearest(&said("1.5 m", "length_m", "2,5")).as_deref(), Some("1,5"));
        assert_eq!(nearest(&said("1,5 m", "length_m", "2.5")).as_deref(), Some("1.5"));
    }

    proptest! {
        #[test]
        fn what_is_offered_is_read(
            cell in "[-−+]?[0-9OIl.,]{1,7} ?[a-zO%°]{0,2}",
            column in prop::sample::select(&["stems", "slope_percent", "length_m", "amount"]),
            like in prop::sample::select(&["1", "1.5", "1,5"]),
        ) {
            if let Some(offered) = nearest(&said(&cell, column, like)) {
                let problems = said(&offered, column, like);
                prop_assert!(problems.is_empty(), "{} for {}: {:?}", offered, cell, problems);
            }
        }
    }
}
