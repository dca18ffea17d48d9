//! One table of `project.toml`, read key by key: every key is asked for once, whatever is left over is unknown.
//!
//! Nothing stops at the first mistake: each key that can't be read says so with its line and gives `None`, and reading
//! goes on.

use std::ops::Range;

use chrono::NaiveDate;
use rust_decimal::Decimal;
use toml::{
    Spanned,
    de::{DeTable, DeValue},
};

use crate::{
    intake::nearest::{nearest, same},
    problem::{Excerpt, Kind, Place, Problem, Settings},
    source::Row,
    units::Money,
};

/// The name of the file, wherever a place is named.
pub(crate) const FILE: &str = "project.toml";

/// A table of the file, and which of its keys were asked for.
pub(crate) struct Section<'t, 'p> {
    text: &'t str,
    name: String,
    table: &'t DeTable<'t>,
    span: Range<usize>,
    asked: Vec<&'static str>,
    problems: &'p mut Vec<Problem>,
}

/// The place of `span` in `text`: its line, with the line itself to show.
pub(crate) fn place(text: &str, span: &Range<usize>) -> Place {
    let start = span.start.min(text.len());
    let line_start = text[..start].rfind('\n').map_or(0, |at| at + 1);
    let line = text[line_start..].lines().next().unwrap_or_default();
    let excerpt = Excerpt { header: vec![], cells: vec![line.to_owned()], at: 0, made: false };
    let row = Row { file: FILE.into(), row: line_of(text, start) };
    Place { excerpt: Some(Box::new(excerpt)), ..Place::row(&row) }
}

pub(super) fn line_of(text: &str, at: usize) -> u32 {
    u32::try_from(text[..at].matches('\n').count() + 1).unwrap_or(u32::MAX)
}

impl<'t, 'p> Section<'t, 'p> {
    /// The whole file.
    pub(crate) fn root(
        text: &'t str,
        table: &'t Spanned<DeTable<'t>>,
        problems: &'p mut Vec<Problem>,
    ) -> Self {
        let name = String::new();
        Section { text, name, table: table.get_ref(), span: table.span(), asked: vec![], problems }
    }

    /// The row where the section stands.
    pub(crate) fn row(&self) -> Row {
        Row { file: FILE.into(), row: line_of(self.text, self.span.start.min(self.text.len())) }
    }

    /// The place of `key`, or of the section where the key is not there.
    pub(crate) fn place_of(&self, key: &str) -> Place {
        match self.table.get(key) {
            Some(value) => place(self.text, &value.span()).column(self.dotted(key)),
            None => place(self.text, &self.span).column(self.dotted(key)),
        }
    }

    /// Whether `key` is set.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.table.get(key).is_some()
    }

    /// Whether `key` holds a table.
    pub(crate) fn is_table(&self, key: &str) -> bool {
        self.table.get(key).is_some_and(|value| matches!(value.get_ref(), DeValue::Table(_)))
    }

    /// Counts `key` as asked for without reading it.
    pub(crate) fn pass_over(&mut self, key: &'static str) {
        self.asked.push(key);
    }

    /// The keys of a table whose keys are the user's own, as in `columns`; all count as asked for.
    pub(crate) fn own_keys(&self) -> Vec<String> {
        self.table.keys().map(|key| key.get_ref().to_string()).collect()
    }

    /// The table under `key`.
    pub(crate) fn section<'s>(&'s mut self, key: &'static str) -> Option<Section<'t, 's>> {
        self.asked.push(key);
        self.table_under(key)
    }

    /// The table under a key of the user's own.
    pub(crate) fn table_under<'s>(&'s mut self, key: &str) -> Option<Section<'t, 's>> {
        let value = self.table.get(key)?;
        let name = self.dotted(key);
        let DeValue::Table(table) = value.get_ref() else {
            self.refuse(key, value, &format!("a table, written [{name}]"), None);
            return None;
        };
        let span = value.span();
        Some(Section { text: self.text, name, table, span, asked: vec![], problems: self.problems })
    }

    /// Reads every table of the list `[[key]]` with `read`.
    pub(crate) fn each<T>(
        &mut self,
        key: &'static str,
        mut read: impl FnMut(&mut Section<'t, '_>) -> Option<T>,
    ) -> Vec<T> {
        let mut found = Vec::new();
        let Some(value) = self.value(key) else { return found };
        let DeValue::Array(list) = value.get_ref() else {
            self.refuse(key, value, &format!("a list of tables, each written [[{key}]]"), None);
            return found;
        };
        for (at, one) in list.iter().enumerate() {
            let DeValue::Table(table) = one.get_ref() else {
                self.refuse(key, one, &format!("a table, written [[{key}]]"), None);
                continue;
            };
            let (name, span) = (self.dotted(&format!("{key} {}", at + 1)), one.span());
            let mut section =
                Section { text: self.text, name, table, span, asked: vec![], problems: &mut *self.problems };
            found.extend(read(&mut section));
            section.finish();
        }
        found
    }

    /// Says of every key that nobody asked for that it is unknown.
    pub(crate) fn finish(self) {
        for key in self.table.keys() {
            let found = key.get_ref().as_ref();
            if self.asked.contains(&found) {
                continue;
            }
            let nearest = nearest(found, self.asked.iter().copied().filter(|known| !self.has(known)));
            let place = place(self.text, &key.span()).column(self.dotted(found));
            self.problems
                .push(Problem::new(Settings::KeyUnknown { key: self.dotted(found), nearest }, place));
        }
    }

    /// Says that something is wrong with `key`.
    pub(crate) fn say(&mut self, key: &str, kind: impl Into<Kind>) {
        let place = self.place_of(key);
        self.problems.push(Problem::new(kind, place));
    }

    /// Says that `key` must be there.
    pub(crate) fn missing(&mut self, key: &str, example: &'static str) {
        self.say(key, Settings::KeyMissing { key: self.dotted(key), example });
    }

    /// Says what `key` must be.
    pub(crate) fn wrong(&mut self, key: &str, wanted: &str, nearest: Option<String>) {
        if let Some(value) = self.table.get(key) {
            self.refuse(key, value, wanted, nearest);
        }
    }

    /// Text, without space round it; an empty text is not set.
    pub(crate) fn text(&mut self, key: &'static str) -> Option<String> {
        let value = self.value(key)?;
        let DeValue::String(text) = value.get_ref() else {
            self.refuse(key, value, "text in quotes", None);
            return None;
        };
        Some(text.trim().to_owned()).filter(|text| !text.is_empty())
    }

    /// Text under a key of the user's own.
    pub(crate) fn text_of(&mut self, key: &str) -> Option<String> {
        let value = self.table.get(key)?;
        let text =
            value.get_ref().as_str().map(|text| text.trim().to_owned()).filter(|text| !text.is_empty());
        if text.is_none() {
            self.refuse(key, value, "text in quotes", None);
        }
        text
    }

    /// Text that must be there.
    pub(crate) fn text_needed(&mut self, key: &'static str, example: &'static str) -> Option<String> {
        let readable = self.table.get(key).is_none_or(|value| value.get_ref().is_str());
        let text = self.text(key);
        if text.is_none() && readable {
            self.missing(key, example);
        }
        text
    }

    /// A number between `low` and `high`, both allowed.
    pub(crate) fn number(&mut self, key: &'static str, low: f64, high: f64, wanted: &str) -> Option<f64> {
        let value = self.value(key)?;
        let number = number_in(value.get_ref()).filter(|number| (low..=high).contains(number));
        if number.is_none() {
            self.refuse(key, value, wanted, None);
        }
        number
    }

    /// A whole number between `low` and `high`, both allowed.
    pub(crate) fn whole(&mut self, key: &'static str, low: u8, high: u8) -> Option<u8> {
        let wanted = format!("a whole number from {low} to {high}");
        let number = self.number(key, f64::from(low), f64::from(high), &wanted)?;
        if number.fract() != 0.0 {
            self.wrong(key, &wanted, None);
            return None;
        }
        (low..=high).find(|whole| f64::from(*whole) == number)
    }

    /// Yes or no.
    pub(crate) fn flag(&mut self, key: &'static str) -> Option<bool> {
        let value = self.value(key)?;
        match value.get_ref() {
            DeValue::Boolean(flag) => Some(*flag),
            _ => {
                self.refuse(key, value, "true or false", None);
                None
            }
        }
    }

    /// A list of numbers.
    pub(crate) fn numbers(&mut self, key: &'static str, wanted: &str) -> Option<Vec<f64>> {
        let value = self.value(key)?;
        let numbers = match value.get_ref() {
            DeValue::Array(list) => list.iter().map(|one| number_in(one.get_ref())).collect(),
            _ => None,
        };
        if numbers.is_none() {
            self.refuse(key, value, wanted, None);
        }
        numbers
    }

    /// A list of words.
    pub(crate) fn words(&mut self, key: &'static str) -> Option<Vec<String>> {
        let value = self.value(key)?;
        let words = match value.get_ref() {
            DeValue::Array(list) => {
                list.iter().map(|one| one.get_ref().as_str().map(|word| word.trim().to_owned())).collect()
            }
            _ => None,
        };
        if words.is_none() {
            self.refuse(key, value, "a list of words in quotes, such as [\"pioneer\", \"late\"]", None);
        }
        words
    }

    /// A text, or a list of texts.
    pub(crate) fn texts(&mut self, key: &'static str) -> Option<Vec<String>> {
        self.asked.push(key);
        self.texts_of(key)
    }

    /// A text, or a list of texts, under a key of the user's own.
    pub(crate) fn texts_of(&mut self, key: &str) -> Option<Vec<String>> {
        let value = self.table.get(key)?;
        let texts = match value.get_ref() {
            DeValue::Array(list) => list.iter().map(|one| self.written(one)).collect(),
            _ => self.written(value).map(|text| vec![text]),
        };
        if texts.is_none() {
            self.refuse(key, value, "a text in quotes, or a list of them such as [\"one\", \"other\"]", None);
        }
        texts
    }

    /// A text, a number, a day or a yes or no under a key of the user's own, as it is written.
    pub(crate) fn written_of(&mut self, key: &str) -> Option<String> {
        let value = self.table.get(key)?;
        let text = self.written(value);
        if text.is_none() {
            self.refuse(key, value, "a text in quotes, a number or a day", None);
        }
        text
    }

    /// A single value as it is written; a text without its quotes.
    fn written(&self, value: &Spanned<DeValue>) -> Option<String> {
        match value.get_ref() {
            DeValue::String(text) => Some(text.trim().to_owned()),
            DeValue::Array(_) | DeValue::Table(_) => None,
            _ => self.text.get(value.span()).map(str::to_owned),
        }
    }

    /// A number more than nothing under a key of the user's own, exact as it is written.
    pub(crate) fn factor_of(&mut self, key: &str) -> Option<Decimal> {
        let value = self.table.get(key)?;
        let factor = decimal_in(value.get_ref()).filter(|factor| *factor > Decimal::ZERO);
        if factor.is_none() {
            self.refuse(key, value, "a number more than 0, such as 25.4", None);
        }
        factor
    }

    /// A sum of money, exact as it is written; never below nothing.
    pub(crate) fn money(&mut self, key: &'static str) -> Option<Money> {
        let value = self.value(key)?;
        let sum =
            decimal_in(value.get_ref()).filter(|sum| !sum.is_sign_negative() || sum.is_zero()).map(Money);
        match sum {
            None => {
                self.refuse(key, value, "a sum of money without sign or currency, such as 18400.00", None)
            }
            Some(sum) if sum.is_within_reason() => return Some(sum),
            Some(_) => self.refuse(key, value, "a sum of money of at most a million million", None),
        }
        None
    }

    /// A day: a TOML date, or the same in quotes.
    pub(crate) fn day(&mut self, key: &'static str) -> Option<NaiveDate> {
        let value = self.value(key)?;
        let day = match value.get_ref() {
            DeValue::Datetime(moment) => moment.date.filter(|_| moment.time.is_none()).and_then(|date| {
                NaiveDate::from_ymd_opt(i32::from(date.year), u32::from(date.month), u32::from(date.day))
            }),
            DeValue::String(text) => NaiveDate::parse_from_str(text.trim(), "%Y-%m-%d").ok(),
            _ => None,
        };
        if day.is_none() {
            self.refuse(key, value, "a day, written 2025-07-01", None);
        }
        day
    }

    /// One of the words that `known` lists, and what it stands for.
    pub(crate) fn choice<T: Clone>(&mut self, key: &'static str, known: &[(&str, T)]) -> Option<T> {
        let value = self.value(key)?;
        let found = value.get_ref().as_str().unwrap_or_default();
        let meant = |word: &str| same(&word.replace(['-', '_'], " "), &found.replace(['-', '_'], " "));
        if let Some((_, meaning)) = known.iter().find(|(word, _)| meant(word)) {
            return Some(meaning.clone());
        }
        let words: Vec<&str> = known.iter().map(|(word, _)| *word).collect();
        let quoted: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
        self.refuse(key, value, &listed(&quoted), nearest(found, words));
        None
    }

    fn value(&mut self, key: &'static str) -> Option<&'t Spanned<DeValue<'t>>> {
        self.asked.push(key);
        self.table.get(key)
    }

    fn refuse(&mut self, key: &str, value: &Spanned<DeValue>, wanted: &str, nearest: Option<String>) {
        let found = shown(self.text.get(value.span()).unwrap_or_default());
        let key = self.dotted(key);
        let place = place(self.text, &value.span()).column(key.clone());
        let kind = Settings::ValueUnreadable { key, found, wanted: wanted.to_owned(), nearest };
        self.problems.push(Problem::new(kind, place));
    }

    fn dotted(&self, key: &str) -> String {
        if self.name.is_empty() { key.to_owned() } else { format!("{}.{key}", self.name) }
    }
}

/// The first line of what was written, cut where it is long.
fn shown(written: &str) -> String {
    let line = written.lines().next().unwrap_or_default();
    match line.char_indices().nth(60) {
        Some((at, _)) => format!("{}…", &line[..at]),
        None => line.to_owned(),
    }
}

/// `a, b or c`.
fn listed(words: &[String]) -> String {
    match words {
        [most @ .., last] if !most.is_empty() => format!("{} or {last}", most.join(", ")),
        words => words.concat(),
    }
}

/// The number as it is written, not as a binary fraction near it.
fn decimal_in(value: &DeValue) -> Option<Decimal> {
    match value {
        DeValue::Integer(whole) if whole.radix() == 10 => Decimal::from_str_exact(whole.as_str()).ok(),
        DeValue::Float(number) => {
            let text = number.as_str();
            Decimal::from_str_exact(text).or_else(|_| Decimal::from_scientific(text)).ok()
        }
        _ => None,
    }
}

fn number_in(value: &DeValue) -> Option<f64> {
    let number = match value {
        DeValue::Integer(whole) if whole.radix() == 10 => whole.as_str().parse::<f64>().ok(),
        DeValue::Float(number) => number.as_str().parse::<f64>().ok(),
        _ => None,
    };
    number.filter(|number| number.is_finite())
}
