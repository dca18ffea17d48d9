//! Names that are the same but for how they are dressed, and the nearest right answer to a wrong one.

use std::{cell::RefCell, collections::BTreeMap};

use unicode_normalization::UnicodeNormalization as _;

/// Longer texts than this were not meant to be a name.
const LONGEST: usize = 120;

/// A name as names are compared: without regard to case, to space around and within, and to how accents are encoded.
pub(crate) fn folded(name: &str) -> String {
    let lower: String = name.nfc().flat_map(char::to_lowercase).collect();
    lower.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Whether two names are one.
pub(crate) fn same(one: &str, other: &str) -> bool {
    folded(one) == folded(other)
}

/// The one of `known` that `found` was most likely meant to be; `None` where nothing is near.
///
/// Near is up to one slip (a letter wrong, missing, added or swapped with its neighbour) in every three letters; names of one
/// or two letters are near to nothing. Of two that are equally near the first stands.
pub(crate) fn nearest<'a>(found: &str, known: impl IntoIterator<Item = &'a str>) -> Option<String> {
    near(found, known).min_by_key(|(distance, _)| *distance).map(|(_, name)| name.to_owned())
}

/// The same where no other is as near: of two that are, neither was meant for sure.
pub(crate) fn only_nearest<'a>(found: &str, known: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let mut all: Vec<(usize, &str)> = near(found, known).collect();
    all.sort_unstable_by_key(|(distance, _)| *distance);
    match all.as_slice() {
        [(one, _), (other, _), ..] if one == other => None,
        [(_, name), ..] => Some((*name).to_owned()),
        [] => None,
    }
}

/// Those of `known` that are near, each with the slips that part it from `found`.
fn near<'a>(found: &str, known: impl IntoIterator<Item = &'a str>) -> impl Iterator<Item = (usize, &'a str)> {
    let loose = |name: &str| folded(name).replace(['_', '-'], " ");
    let wanted = loose(found);
    let length = wanted.chars().count();
    // An empty name and one that was not meant to be a name are near to nothing.
    let slips = if length > LONGEST { 0 } else { length / 3 };
    let is_name = (1..=LONGEST).contains(&length);
    let distance = move |name: &str| {
        let name = loose(name);
        // A name so much longer or shorter can't be near: the slow comparison is spared.
        let alike = is_name && name.chars().count().abs_diff(length) <= slips;
        alike.then(|| strsim::osa_distance(&wanted, &name))
    };
    let near = known.into_iter().filter_map(move |name| Some((distance(name)?, name)));
    near.filter(move |(distance, _)| *distance <= slips)
}

/// Names to guess from many times over: a table that misspells a name mostly does so in many rows.
#[derive(Debug, Clone)]
pub(crate) struct Guesses {
    known: Vec<String>,
    made: RefCell<BTreeMap<String, Option<String>>>,
}

impl Guesses {
    /// Guesses among `known`.
    pub(crate) fn among<'a>(known: impl IntoIterator<Item = &'a str>) -> Guesses {
        Guesses { known: known.into_iter().map(str::to_owned).collect(), made: RefCell::default() }
    }

    /// What `only_nearest` gives.
    pub(crate) fn nearest(&self, found: &str) -> Option<String> {
        let mut made = self.made.borrow_mut();
        let guess = || only_nearest(found, self.known.iter().map(String::as_str));
        made.entry(found.to_owned()).or_insert_with(guess).clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_are_seen_through_and_strangers_are_not() {
        let species = ["Acacia dealbata", "Acacia fimbriata", "Lophostemon confertus"];
        assert_eq!(nearest("Acacia fimbrata", species).as_deref(), Some("Acacia fimbriata"));
        assert_eq!(nearest("ACACIA  DEALBATA", species).as_deref(), Some("Acacia dealbata"));
        assert_eq!(nearest("power-line", ["power line", "fence"]).as_deref(), Some("power line"));
        assert_eq!(nearest("N-O1", ["N-01", "N-02"]).as_deref(), Some("N-01"));
        assert_eq!(nearest("Quercus robur", species), None);
        assert_eq!(nearest("", species), None);
        assert_eq!(nearest("B9", ["B1"]), None);
        assert_eq!(nearest("x", []), None);
        assert_eq!(only_nearest("Gully 3", ["Gully 1", "Gully 2"]), None);
        assert_eq!(only_nearest("Guly", ["Gully", "Spur"]).as_deref(), Some("Gully"));
    }

    #[test]
    fn names_are_one_however_they_are_dressed() {
        assert!(same(" North face", "NORTH  FACE "));
        assert!(same("Caf\u{e9} block", "cafe\u{301} block"));
        assert!(!same("North face", "Northface"));
    }
}
