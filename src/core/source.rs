//! Where a value came from: the file, its row, the digest of what was read.

use std::{
    cmp::Ordering,
    collections::BTreeMap,
    fmt::Write as _,
    io::{self, Read},
    sync::Arc,
};

use serde::{Deserialize, Deserializer, Serialize, Serializer};
use sha2::{Digest as _, Sha256};

use crate::units::whole;

/// One row of an input table. Rows are counted as a spreadsheet counts them: the header is row 1.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Path of the file inside the project folder, with `/` between its parts.
    pub file: Arc<str>,
    /// The row; for a shape the number of the feature in its file, counted from 1.
    pub row: u32,
}

impl Row {
    /// Whether the other row stands in the same file; rows that were read together share its name.
    fn is_beside(&self, other: &Row) -> bool {
        Arc::ptr_eq(&self.file, &other.file) || self.file == other.file
    }
}

/// By file, then by row. Millions of rows are sorted, and nearly all of them share the name of their file.
impl Ord for Row {
    fn cmp(&self, other: &Row) -> Ordering {
        match Arc::ptr_eq(&self.file, &other.file) {
            true => self.row.cmp(&other.row),
            false => (&self.file, self.row).cmp(&(&other.file, other.row)),
        }
    }
}

impl PartialOrd for Row {
    fn partial_cmp(&self, other: &Row) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// One input file as it was read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Input {
    /// Path inside the project folder, with `/` between its parts.
    #[serde(serialize_with = "written", deserialize_with = "shared")]
    pub path: Arc<str>,
    /// SHA-256 of the bytes, in lower-case hexadecimal.
    pub sha256: String,
    /// Size in bytes.
    pub bytes: u64,
    /// Data rows of a table, features of a layer; `None` for other files.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rows: Option<u32>,
}

fn written<S: Serializer>(text: &str, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(text)
}

fn shared<'de, D: Deserializer<'de>>(from: D) -> Result<Arc<str>, D::Error> {
    String::deserialize(from).map(Arc::from)
}

/// SHA-256 of `bytes` in lower-case hexadecimal (FIPS 180-4).
#[must_use]
pub fn sha256(bytes: &[u8]) -> String {
    hexadecimal(&Sha256::digest(bytes))
}

/// The same of everything that `reader` gives, a piece at a time, with the number of bytes.
///
/// # Errors
/// Reading failed.
pub fn sha256_of(reader: &mut impl Read) -> io::Result<(String, u64)> {
    let (mut hash, mut piece, mut bytes) = (Sha256::new(), vec![0; 1 << 16], 0);
    loop {
        match reader.read(&mut piece) {
            Ok(0) => break,
            Ok(read) => {
                hash.update(&piece[..read]);
                bytes += read as u64;
            }
            Err(why) if why.kind() == io::ErrorKind::Interrupted => {}
            Err(why) => return Err(why),
        }
    }
    Ok((hexadecimal(&hash.finalize()), bytes))
}

pub(crate) fn hexadecimal(digest: &[u8]) -> String {
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The rows an estimate was made from, kept as ranges by file.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Sources {
    files: BTreeMap<Arc<str>, Vec<(u32, u32)>>,
}

impl Sources {
    /// A file that has no rows, such as a terrain model or the settings: the whole of it.
    #[must_use]
    pub fn whole(file: Arc<str>) -> Sources {
        Sources { files: BTreeMap::from([(file, Vec::new())]) }
    }

    /// Adds one row. Rows may come in any order and more than once.
    pub fn add(&mut self, row: &Row) {
        put(self.files.entry(Arc::clone(&row.file)).or_default(), row.row);
    }

    /// Adds everything that `other` holds.
    pub fn join(&mut self, other: &Sources) {
        for (file, ranges) in &other.files {
            let mine = self.files.entry(Arc::clone(file)).or_default();
            *mine = merged(mine, ranges);
        }
    }

    /// Whether `row` is among them.
    #[must_use]
    pub fn holds(&self, row: &Row) -> bool {
        self.files.get(&row.file).is_some_and(|ranges| {
            let after = ranges.partition_point(|&(first, _)| first <= row.row);
            after > 0 && ranges[after - 1].1 >= row.row
        })
    }

    /// Whether any row is among both; a whole file has no rows.
    #[must_use]
    pub fn meets(&self, other: &Sources) -> bool {
        let meet = |(file, ranges): (&Arc<str>, &Vec<(u32, u32)>)| {
            let mine = self.files.get(file).map(Vec::as_slice).unwrap_or_default();
            ranges.iter().any(|&(first, last)| {
                let after = mine.partition_point(|&(_, end)| end < first);
                mine.get(after).is_some_and(|&(begin, _)| begin <= last)
            })
        };
        other.files.iter().any(meet)
    }

    /// The rows by file, as ranges in order, first and last; no range for a whole file.
    pub fn ranges(&self) -> impl Iterator<Item = (&str, &[(u32, u32)])> {
        self.files.iter().map(|(file, ranges)| (&**file, ranges.as_slice()))
    }

    /// Whether no row was added.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.files.is_empty()
    }

    /// Each file with its rows as printed, such as `2-97, 99`, or `whole file`; files in order of name.
    pub fn printed(&self) -> impl Iterator<Item = (&str, String)> {
        self.files.iter().map(|(file, ranges)| (&**file, printed(ranges)))
    }

    /// The same for paper: of a file with more than `most` runs of rows the first ones, and how many rows follow up to which.
    pub fn abridged(&self, most: usize) -> impl Iterator<Item = (&str, String)> {
        self.files.iter().map(move |(file, ranges)| (&**file, abridged(ranges, most)))
    }
}

impl<'a> FromIterator<&'a Row> for Sources {
    fn from_iter<I: IntoIterator<Item = &'a Row>>(rows: I) -> Self {
        // In order, each row lands at the end of its list; out of order, a long list would be shifted at every row.
        let mut rows: Vec<&Row> = rows.into_iter().collect();
        if !rows.is_sorted() {
            rows.sort_unstable();
        }
        let mut sources = Sources::default();
        for of_file in rows.chunk_by(|one, next| one.is_beside(next)) {
            let ranges = sources.files.entry(Arc::clone(&of_file[0].file)).or_default();
            of_file.iter().for_each(|row| put(ranges, row.row));
        }
        sources
    }
}

/// Both lists of ranges as one, in order and without overlap: a walk along the two, so that many rows stay cheap.
fn merged(one: &[(u32, u32)], other: &[(u32, u32)]) -> Vec<(u32, u32)> {
    let mut all: Vec<(u32, u32)> = one.iter().chain(other).copied().collect();
    all.sort_unstable();
    let mut joined: Vec<(u32, u32)> = Vec::with_capacity(all.len());
    for (first, last) in all {
        match joined.last_mut() {
            Some((_, end)) if first <= end.saturating_add(1) => *end = last.max(*end),
            _ => joined.push((first, last)),
        }
    }
    joined
}

/// Adds one row to ordered ranges.
fn put(ranges: &mut Vec<(u32, u32)>, row: u32) {
    match ranges.last_mut() {
        Some((_, last)) if *last + 1 == row => *last += 1,
        Some((first, last)) if (*first..=*last).contains(&row) => {}
        Some((_, last)) if row > *last => ranges.push((row, row)),
        None => ranges.push((row, row)),
        Some(_) => insert(ranges, row),
    }
}

fn insert(ranges: &mut Vec<(u32, u32)>, row: u32) {
    let at = ranges.partition_point(|&(first, _)| first <= row);
    if at > 0 && ranges[at - 1].1 >= row {
        return;
    }
    ranges.insert(at, (row, row));
    if at + 1 < ranges.len() && ranges[at + 1].0 == row + 1 {
        ranges[at].1 = ranges[at + 1].1;
        ranges.remove(at + 1);
    }
    if at > 0 && ranges[at - 1].1 + 1 == ranges[at].0 {
        ranges[at - 1].1 = ranges[at].1;
        ranges.remove(at);
    }
}

fn printed(ranges: &[(u32, u32)]) -> String {
    if ranges.is_empty() {
        return "whole file".to_owned();
    }
    let mut text = String::new();
    for (at, (first, last)) in ranges.iter().enumerate() {
        let comma = if at > 0 { ", " } else { "" };
        let written = match last - first {
            0 => write!(text, "{comma}{first}"),
            _ => write!(text, "{comma}{first}-{last}"),
        };
        debug_assert!(written.is_ok(), "a string takes every write");
    }
    text
}

fn abridged(ranges: &[(u32, u32)], most: usize) -> String {
    let (shown, rest) = ranges.split_at(most.min(ranges.len()));
    let Some((_, last)) = rest.last() else { return printed(ranges) };
    let rows: u64 = rest.iter().map(|(first, last)| u64::from(last - first) + 1).sum();
    format!("{} and {} more, the last in row {}", printed(shown), whole(rows), whole((*last).into()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(numbers: &[u32]) -> String {
        let rows: Vec<Row> = numbers.iter().map(|&row| Row { file: "a.csv".into(), row }).collect();
        rows.iter().collect::<Sources>().printed().map(|(_, text)| text).collect()
    }

    #[test]
    fn joined_sources_hold_each_row_once() {
        let at = |numbers: &[u32]| -> Sources {
            let rows: Vec<Row> = numbers.iter().map(|&row| Row { file: "a.csv".into(), row }).collect();
            rows.iter().collect()
        };
        let mut both = at(&[2, 3, 9]);
        both.join(&at(&[4, 6, 9, 10]));
        assert_eq!(both, at(&[2, 3, 4, 6, 9, 10]));
    }

    #[test]
    fn many_rows_are_abridged_on_paper() {
        let rows: Vec<Row> = (1..=2_000).map(|row| Row { file: "a.csv".into(), row: 3 * row }).collect();
        let sources: Sources = rows.iter().collect();
        let on_paper = |most| sources.abridged(most).map(|(_, text)| text).collect::<String>();
        assert_eq!(on_paper(2), "3, 6 and 1,998 more, the last in row 6,000");
        assert_eq!(on_paper(2_000), sources.printed().map(|(_, text)| text).collect::<String>());
    }

    #[test]
    fn rows_are_found_again() {
        let row = |file: &str, row| Row { file: file.into(), row };
        let sources: Sources = [row("a.csv", 2), row("a.csv", 3), row("a.csv", 7)].iter().collect();
        for (number, held) in [(1, false), (2, true), (3, true), (4, false), (7, true), (8, false)] {
            assert_eq!(sources.holds(&row("a.csv", number)), held, "{number}");
        }
        assert!(!sources.holds(&row("b.csv", 2)));
        for (number, held) in [(1, false), (2, true), (7, true), (99, false)] {
            let one = Sources::from_iter([&row("a.csv", number)]);
            assert_eq!((sources.meets(&one), one.meets(&sources)), (held, held), "{number}");
        }
        assert!(!sources.meets(&Sources::from_iter([&row("b.csv", 2)])));
    }

    /// FIPS 180-4 example: SHA-256 of "abc" (from memory).
    #[test]
    fn sha256_of_abc() {
        assert_eq!(sha256(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }

    #[test]
    fn rows_join_into_ranges_in_any_order() {
        assert_eq!(rows(&[2, 3, 4, 7]), "2-4, 7");
        assert_eq!(rows(&[7, 3, 2, 4, 3, 2]), "2-4, 7");
        assert_eq!(rows(&[2, 4, 3]), "2-4");
        assert_eq!(rows(&[9, 5, 1, 7, 6, 8]), "1, 5-9");
    }
}
