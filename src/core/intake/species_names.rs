//! Species by the names that people write for them.

use std::{collections::BTreeMap, sync::Arc};

use crate::{
    intake::nearest::{Guesses, folded},
    project::{SpeciesId, SpeciesList},
};

/// Every species of the list, to be found by its name.
#[derive(Debug, Clone)]
pub(crate) struct SpeciesNames {
    names: BTreeMap<String, SpeciesId>,
    /// The same by the names as the list writes them, which most rows do too: no letter of these has to be folded.
    written: BTreeMap<Arc<str>, SpeciesId>,
    common: BTreeMap<String, SpeciesId>,
    guesses: Guesses,
    /// Whether these are all there are: where the species table has errors an unknown name proves nothing.
    pub(crate) complete: bool,
}

impl SpeciesNames {
    /// The names in `list`.
    pub(crate) fn of(list: &SpeciesList, complete: bool) -> SpeciesNames {
        let names: BTreeMap<String, SpeciesId> =
            list.iter().map(|species| (canonical(&species.id.0), species.id.clone())).collect();
        let same = |id: &SpeciesId| Some((Arc::clone(&id.0), names.get(&canonical(&id.0))?.clone()));
        let written = list.iter().filter_map(|species| same(&species.id)).collect();
        let common = list
            .iter()
            .filter_map(|species| Some((folded(species.common_name.as_ref()?), species.id.clone())));
        let guesses = Guesses::among(list.iter().map(|species| &*species.id.0));
        SpeciesNames { names, written, common: common.collect(), guesses, complete }
    }

    /// The species called `name`, in any case and spacing, with or without the author of the name behind it.
    pub(crate) fn get(&self, name: &str) -> Option<SpeciesId> {
        let known = self.written.get(name).or_else(|| self.names.get(&canonical(name)));
        if let Some(id) = known {
            return Some(id.clone());
        }
        let words: Vec<&str> = name.split_whitespace().collect();
        let shorter = (2..words.len()).rev().filter(|&end| begins_an_author(words[end]));
        shorter.filter_map(|end| self.names.get(&canonical(&words[..end].join(" ")))).next().cloned()
    }

    /// The name that `found` was most likely meant to be: a slip, a genus cut short, or a common name.
    pub(crate) fn nearest(&self, found: &str) -> Option<String> {
        let wanted = canonical(found);
        let cut_short = wanted.split_once(". ").and_then(|(genus, epithet)| {
            let fits = |name: &str| {
                name.starts_with(genus) && name.split_once(' ').is_some_and(|(_, other)| other == epithet)
            };
            let mut fitting = self.names.iter().filter(|(name, _)| fits(name));
            fitting.next().filter(|_| fitting.next().is_none()).map(|(_, id)| id.0.to_string())
        });
        let by_common_name = || self.common.get(&folded(found)).map(|id| id.0.to_string());
        cut_short.or_else(by_common_name).or_else(|| self.guesses.nearest(&wanted))
    }
}

/// A scientific name as it is compared. `x` between the words of a hybrid is its sign, ×.
fn canonical(name: &str) -> String {
    let words = folded(name);
    words.split(' ').map(|word| if word == "x" { "×" } else { word }).collect::<Vec<_>>().join(" ")
}

/// Whether `word` can begin the author of a name: `R.Br.`, `(Vent.) Willd.`, `von`; an epithet is in lower case.
fn begins_an_author(word: &str) -> bool {
    word.starts_with(|c: char| c.is_uppercase() || c == '(') || ["de", "von", "van", "ex"].contains(&word)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{intake::records::species::built_in, project::Species};

    fn names() -> SpeciesNames {
        SpeciesNames::of(&built_in(), true)
    }

    #[test]
    fn a_name_is_known_with_its_author_and_in_any_spacing() {
        for name in [
            "Acacia floribunda",
            " acacia  FLORIBUNDA ",
            "Acacia floribunda (Vent.) Willd.",
            "Acacia floribunda Willd.",
        ] {
            assert_eq!(
                names().get(name).map(|id| id.to_string()).as_deref(),
                Some("Acacia floribunda"),
                "{name}"
            );
        }
        for name in ["Acacia", "A. floribunda", "Acacia floribunda nana", "Acacia fimbrata", ""] {
            assert_eq!(names().get(name), None, "{name}");
        }
    }

    #[test]
    fn the_right_name_is_offered() {
        let nearest = |found| names().nearest(found);
        assert_eq!(nearest("Acacia fimbrata").as_deref(), Some("Acacia fimbriata"));
        assert_eq!(nearest("A. melanoxylon").as_deref(), Some("Acacia melanoxylon"));
        assert_eq!(nearest("blackwood").as_deref(), Some("Acacia melanoxylon"));
        assert_eq!(nearest("Quercus robur"), None);
    }

    #[test]
    fn a_subspecies_is_not_taken_for_its_species() {
        let mut list = built_in();
        let id = SpeciesId("Acacia floribunda subsp. alta".into());
        let species = list.get(&SpeciesId("Acacia floribunda".into())).cloned().unwrap();
        list.put(Species { id: id.clone(), ..species });
        assert_eq!(SpeciesNames::of(&list, true).get("Acacia floribunda subsp. alta Maiden"), Some(id));
        assert_eq!(names().get("Acacia floribunda subsp. alta"), None);
    }
}
