//! The cells of one row as typed values; whatever is wrong with one is said with its row, its column and the row to see.

pub(crate) mod date;
mod money;
pub(crate) mod number;

use chrono::{Datelike as _, NaiveDate};

use crate::{
    intake::{
        cell::{date::Day, number::Mark},
        ids::Ids,
        limits,
        nearest::nearest,
        table::{Record, Table, key},
    },
    problem::{Kind, Place, Problem, Reading, Records},
    source::Row,
    units::{self, Metres, Stems, whole},
};

/// One row of a table while it is read.
///
/// A getter gives `None` for an empty cell, for a column that the file does not have, and for a cell that can't be read;
/// only the last is a problem here. That a required cell is empty is said once, when the row is begun.
pub(crate) struct Cells<'a> {
    table: &'a Table,
    record: &'a Record,
    problems: &'a mut Vec<Problem>,
}

impl<'a> Cells<'a> {
    /// Begins a row, and says which of its required cells are empty.
    pub(crate) fn of(table: &'a Table, record: &'a Record, problems: &'a mut Vec<Problem>) -> Cells<'a> {
        let mut cells = Cells { table, record, problems };
        for column in table.layout.required {
            let empty = |(at, _)| record.cell(at).is_empty() && !table.is_excused(record, at);
            if cells.at(column).is_some_and(empty) {
                cells.say(column, Reading::CellEmpty { column: (*column).to_owned() });
            }
        }
        cells
    }

    /// Where the row stands.
    pub(crate) fn source(&self) -> Row {
        Row { file: self.table.path.clone(), row: self.record.row }
    }

    /// Adds a problem at a column; at the row where the file has no such column.
    pub(crate) fn say(&mut self, column: &str, kind: impl Into<Kind>) {
        let place = match self.at(column) {
            Some((at, _)) => self.table.place(self.record, at),
            None => Place { column: None, ..self.table.place(self.record, 0) },
        };
        self.problems.push(Problem::new(kind, place));
    }

    /// The cell as typed, without the space around it.
    pub(crate) fn raw(&self, column: &str) -> Option<&'a str> {
        let (at, _) = self.at(column)?;
        Some(self.record.cell(at)).filter(|cell| !cell.is_empty())
    }

    /// Free text, its lines ended alike.
    pub(crate) fn text(&self, column: &str) -> Option<String> {
        self.raw(column).map(|text| text.replace("\r\n", "\n").replace('\r', "\n"))
    }

    /// A day.
    pub(crate) fn day(&mut self, column: &str) -> Option<NaiveDate> {
        let found = self.raw(column)?;
        match date::day(found, self.table.dates) {
            Ok(Day::Certain(day)) => Some(day),
            Ok(Day::Either(day, _)) => {
                let read_as = units::day(day);
                self.say(column, Reading::DateAmbiguous { found: found.to_owned(), read_as });
                Some(day)
            }
            Err(wrong) => {
                let nearest = wrong.nearest.map(|day| day.to_string());
                let kind = Reading::DateUnreadable { found: found.to_owned(), why: wrong.why, nearest };
                self.say(column, kind);
                None
            }
        }
    }

    /// A number from `least` to `most`, which `wanted` describes; `NaN` and infinities are none.
    pub(crate) fn number(&mut self, column: &str, (least, most): (f64, f64), wanted: &str) -> Option<f64> {
        let found = self.raw(column)?;
        // The sign of the column's own unit says nothing new.
        let bare = match column.rsplit('_').next() {
            Some("percent") => found.trim_end_matches('%'),
            Some("deg") => found.trim_end_matches('°'),
            _ => found,
        };
        let value = number::plain(bare, self.mark()).and_then(|text| text.parse::<f64>().ok());
        let Some(value) = value.filter(|value| value.is_finite()) else {
            self.say_no_number(column, bare, wanted);
            return None;
        };
        let (from, to) = self.at(column)?.1;
        let value = value * from / to;
        if !(least..=most).contains(&value) {
            self.say(column, Reading::OutOfRange { found: found.to_owned(), wanted: wanted.to_owned() });
            return None;
        }
        Some(value)
    }

    fn say_no_number(&mut self, column: &str, found: &str, wanted: &str) {
        let (point, comma) = (number::plain(found, Mark::Point), number::plain(found, Mark::Comma));
        let found = found.to_owned();
        self.say(
            column,
            match (point, comma) {
                (Some(one), Some(other)) if one != other => Reading::NumberAmbiguous { found, one, other },
                _ => {
                    let nearest = number::likely(&found, self.mark()).filter(|likely| *likely != found);
                    Reading::NumberUnreadable { found, wanted: wanted.to_owned(), nearest }
                }
            },
        );
    }

    /// A whole number from `least` to `most`.
    pub(crate) fn whole(&mut self, column: &str, (least, most): (u32, u32), wanted: &str) -> Option<u32> {
        let value = self.number(column, (least.into(), most.into()), wanted)?;
        if value.fract() == 0.0 {
            return Some(value as u32);
        }
        let found = self.raw(column).unwrap_or_default().to_owned();
        self.say(column, Reading::OutOfRange { found, wanted: wanted.to_owned() });
        None
    }

    /// A count of stems.
    pub(crate) fn stems(&mut self, column: &str) -> Option<Stems> {
        let wanted = "a count of stems: a whole number, 0 or more";
        let value = self.number(column, (0.0, u32::MAX.into()), wanted)?;
        let found = self.raw(column).unwrap_or_default().to_owned();
        if value.fract() != 0.0 {
            self.say(column, Reading::OutOfRange { found, wanted: wanted.to_owned() });
            return None;
        }
        let stems = value as u64;
        if stems > limits::COUNT {
            self.say(column, Records::CountTooBig { found: stems, limit: limits::COUNT });
            return None;
        }
        Some(Stems(stems))
    }

    /// A length in the column's own unit, more than nothing and at most `most`.
    pub(crate) fn length(&mut self, column: &str, most: f64) -> Option<f64> {
        let unit = column.rsplit('_').next().unwrap_or_default();
        let wanted = format!("a length, more than 0 and at most {} {unit}", whole(most as u64));
        self.number(column, (f64::MIN_POSITIVE, most), &wanted)
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
        if let Ok(Day::Certain(day) | Day::Either(day, _)) = date::day(found, self.table.dates) {
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
        self.table.mark
    }

    fn at(&self, column: &str) -> Option<(usize, (f64, f64))> {
        self.table.position(column)
    }
}
