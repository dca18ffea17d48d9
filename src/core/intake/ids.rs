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
        self.guesses.nearest(found)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
