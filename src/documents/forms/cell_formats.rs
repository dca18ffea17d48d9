//! What the formats of cells make of a number: a plain one, a share in per cent, a day; and formats that are added for days and money where
//! a cell has none.

use std::{cell::RefCell, collections::BTreeMap};

use crate::forms::{
    splice::{Edit, spliced},
    tree::Tree,
};

/// What a cell's format makes of a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Shown {
    /// As it is, and nobody said how.
    General,
    Plain,
    PerCent,
    Day,
}

/// A format that the standard numbers, for a cell that has none.
///
/// # Reference
/// ECMA-376 part 1, § 18.8.30 (numFmt): 4 is `#,##0.00`, 14 the short day of the reader's country.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wanted {
    Money = 4,
    Day = 14,
}

/// Formats that are added to those of a workbook, each like one that is there but for its number.
#[derive(Debug, Default)]
pub(super) struct Added {
    /// How many there are already.
    there: usize,
    wanted: RefCell<Vec<(usize, Wanted)>>,
}

impl Added {
    /// None yet, behind the formats that are there.
    pub(super) fn to(formats: &[Shown]) -> Added {
        Added { there: formats.len(), wanted: RefCell::default() }
    }

    /// The place of a format like the one at `like` that shows what is `wanted`.
    pub(super) fn place(&self, like: usize, wanted: Wanted) -> usize {
        let mut added = self.wanted.borrow_mut();
        let at = added.iter().position(|one| *one == (like, wanted)).unwrap_or_else(|| {
            added.push((like, wanted));
            added.len() - 1
        });
        self.there + at
    }

    /// The styles with what was added; `None` where nothing was.
    pub(super) fn put_into(&self, tree: &Tree<'_>) -> Option<String> {
        let added = self.wanted.borrow();
        let cells = tree.named("cellXfs").next().filter(|_| !added.is_empty())?;
        let there: Vec<usize> = tree.within(cells).filter(|&at| tree.elements[at].name == "xf").collect();
        let copies: String =
            added.iter().filter_map(|(like, wanted)| Some(copy(tree, *there.get(*like)?, *wanted))).collect();
        let end = tree.elements[cells].close.start;
        let mut edits: Vec<Edit> = vec![(end..end, copies)];
        if let Some((_, count)) = tree.attribute_place(cells, "count") {
            edits.push((count, (self.there + added.len()).to_string()));
        }
        Some(spliced(tree.text, edits))
    }
}

/// The format at `xf` with another number.
fn copy(tree: &Tree<'_>, xf: usize, wanted: Wanted) -> String {
    let element = &tree.elements[xf];
    let whole = element.whole();
    let number = (wanted as u32).to_string();
    let behind_name = element.open.start + 1 + element.prefix.len() + element.name.len();
    let edit = |name: &str, value: &str| match tree.attribute_place(xf, name) {
        Some((_, place)) => (place, value.to_owned()),
        None => (behind_name..behind_name, format!(" {name}=\"{value}\"")),
    };
    let edits = [edit("numFmtId", &number), edit("applyNumberFormat", "1")];
    let edits = edits.map(|(place, new)| (place.start - whole.start..place.end - whole.start, new));
    spliced(&tree.text[whole], edits.into())
}

/// What each format of cells makes of a number, in the order in which cells count them.
pub(super) fn formats(tree: &Tree<'_>) -> Vec<Shown> {
    let own: BTreeMap<String, String> = tree
        .named("numFmt")
        .filter_map(|at| Some((tree.attribute(at, "numFmtId")?, tree.attribute(at, "formatCode")?)))
        .collect();
    let Some(cells) = tree.named("cellXfs").next() else { return Vec::new() };
    let formats = tree.within(cells).filter(|&at| tree.elements[at].name == "xf");
    formats
        .map(|at| {
            let id = tree.attribute(at, "numFmtId").unwrap_or_default();
            match (own.get(&id), id.parse::<u32>().unwrap_or(0)) {
                (Some(code), _) => shown(code),
                (None, 9 | 10) => Shown::PerCent,
                (None, 14..=17 | 22) => Shown::Day,
                (None, 0) => Shown::General,
                (None, _) => Shown::Plain,
            }
        })
        .collect()
}

/// What a format of somebody's own makes of a number: its words in quotes and brackets tell nothing.
fn shown(code: &str) -> Shown {
    let (mut plain, mut quoted, mut bracket) = (String::new(), false, false);
    for letter in code.chars() {
        match letter {
            '"' => quoted = !quoted,
            '[' => bracket = true,
            ']' => bracket = false,
            letter if !quoted && !bracket => plain.push(letter.to_ascii_lowercase()),
            _ => {}
        }
    }
    if plain.contains('%') {
        Shown::PerCent
    } else if plain.contains('y') || plain.contains('d') {
        Shown::Day
    } else {
        Shown::Plain
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formats_tell_days_and_per_cent_by_their_letters_alone() {
        for (code, is) in [
            ("0.0%", Shown::PerCent),
            ("dd/mm/yyyy", Shown::Day),
            ("0 \"days %\"", Shown::Plain),
            ("[Red]0", Shown::Plain),
        ] {
            assert_eq!(shown(code), is, "{code}");
        }
    }
}
