//! Ids that rows refer to one another by.

use std::{collections::BTreeMap, sync::Arc};

use crate::{
    intake::nearest::{Guesses, folded},
    problem::Records,
};

/// The ids of one kind of thing, each as its own file writes it.
#[derive(Debug, Clone)]
pub(crate) struct Ids {
    what: &'static str,
    known: BTreeMap<String, Arc<str>>,
    guesses: Guesses,
    /// Whether these are all there are: where their own file has errors an unknown id proves nothing.
    pub(crate) complete: bool,
}

impl Ids {
    /// The ids in `names`; of two that differ only in dress the first stands.
    pub(crate) fn new<'a>(
        what: &'static str,
        names: impl IntoIterator<Item = &'a str>,
        complete: bool,
    ) -> Ids {
        let mut known: BTreeMap<String, Arc<str>> = BTreeMap::new();
        for name in names {
            known.entry(folded(name)).or_insert_with(|| Arc::from(name.trim()));
        }
        let guesses = Guesses::among(known.values().map(|id| &**id));
        Ids { what, known, guesses, complete }
    }

    /// The same ids under further names; gives those of them that stand for none of the ids, with what they should.
    pub(crate) fn named(&mut self, names: &BTreeMap<String, String>) -> Vec<(String, String)> {
        let mut nothing = Vec::new();
        for (name, of) in names {
            match self.get(of) {
                Some(id) => drop(self.known.insert(folded(name), id)),
                None => nothing.push((name.clone(), of.clone())),
            }
        }
        nothing
    }

    /// The id that `found` is, without regard to case and space.
    pub(crate) fn get(&self, found: &str) -> Option<Arc<str>> {
        self.known.get(&folded(found)).cloned()
    }

    /// The problem that `found` is none of them.
    pub(crate) fn unknown(&self, found: &str) -> Records {
        Records::IdUnknown { what: self.what, found: found.to_owned(), nearest: self.nearest(found) }
    }

    /// The id that `found` was most likely meant to be.
    pub(crate) fn nearest(&self, found: &str) -> Option<String> {
        let drawn = drawn(found);
        let mut alike = self.known.values().filter(|id| self::drawn(id) == drawn);
        // Names of two letters are near to nothing, and yet look like one another.
        let only = alike.next().filter(|_| alike.next().is_none());
        // Another number is another name, however like the rest is.
        let digits = |name: &str| name.chars().filter(char::is_ascii_digit).collect::<String>();
        let same_number = |guess: &String| digits(guess) == digits(found);
        only.map(|id| id.to_string()).or_else(|| self.guesses.nearest(found).filter(same_number))
    }
}

/// A name as it looks: letters that are drawn like digits, and what stands between them, are alike.
fn drawn(name: &str) -> String {
    let like = |letter: char| match letter {
        'l' | 'I' | '|' | 'i' => '1',
        'O' | 'o' => '0',
        letter => letter.to_ascii_lowercase(),
    };
    name.chars().filter(|letter| !letter.is_whitespace() && !"-_.".contains(*letter)).map(like).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_letter_that_looks_like_a_digit_is_taken_for_one() {
        let ids = Ids::new("plot", ["N1", "N2", "S10"], true);
        for (found, near) in [
            ("N12", None),
            ("Nl", Some("N1")),
            ("N-1", Some("N1")),
            ("S1O", Some("S10")),
            ("N3", None),
            ("NI", Some("N1")),
        ] {
            assert_eq!(ids.nearest(found).as_deref(), near, "{found}");
        }
        let both = Ids::new("plot", ["N1", "Nl"], true);
        assert_eq!(both.nearest("NI"), None);
    }

    #[test]
    fn ids_match_without_regard_to_case_and_space() {
        let ids = Ids::new("area", ["North face", "Gully head"], true);
        assert_eq!(ids.get(" NORTH  FACE").as_deref(), Some("North face"));
        assert_eq!(ids.get("Northface"), None);
        assert_eq!(
            ids.unknown("Nort face"),
            Records::IdUnknown {
                what: "area",
                found: "Nort face".to_owned(),
                nearest: Some("North face".to_owned())
            }
        );
    }
}
