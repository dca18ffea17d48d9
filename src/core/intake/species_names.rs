//! Species by the names that people write for them.

use std::{collections::BTreeMap, sync::Arc};

use crate::{
    intake::{
        built_in::BUILT_IN,
        nearest::{Guesses, folded},
    },
    project::{Origin, SpeciesId, SpeciesList},
};

/// Every species of the list, to be found by its name.
#[derive(Debug, Clone)]
pub(crate) struct SpeciesNames {
    names: BTreeMap<String, SpeciesId>,
    /// The same by the names as the list writes them, which most rows do too: no letter of these has to be folded.
    written: BTreeMap<Arc<str>, SpeciesId>,
    /// By common name: the folder's own species that bear it, or where none does those of the built-in list.
    common: BTreeMap<String, Vec<SpeciesId>>,
    /// Names of the user's own.
    own: BTreeMap<String, SpeciesId>,
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
        let mut common: BTreeMap<String, Vec<SpeciesId>> = BTreeMap::new();
        for origin in [Origin::Folder, Origin::BuiltIn] {
            let mut of_origin: BTreeMap<String, Vec<SpeciesId>> = BTreeMap::new();
            let mut bears = |name: &str, id: &SpeciesId| {
                let bearers = of_origin.entry(folded(name).replace('-', " ")).or_default();
                if !bearers.contains(id) {
                    bearers.push(id.clone());
                }
            };
            for species in list.iter().filter(|species| species.origin == origin) {
                species.common_name.iter().for_each(|name| bears(name, &species.id));
            }
            if origin == Origin::BuiltIn {
                let others = BUILT_IN.other_names.iter().filter(|(_, id)| list.get(id).is_some());
                others.for_each(|(name, id)| bears(name, id));
            }
            for (name, bearers) in of_origin {
                common.entry(name).or_insert(bearers);
            }
        }
        let guesses = Guesses::among(list.iter().map(|species| &*species.id.0));
        SpeciesNames { names, written, common, own: BTreeMap::new(), guesses, complete }
    }

    /// The same under names of the user's own; gives those of them that stand for no species, with what they should.
    pub(crate) fn named(&mut self, names: &BTreeMap<String, String>) -> Vec<(String, String)> {
        let mut nothing = Vec::new();
        for (name, of) in names {
            match self.get(of).or_else(|| self.only_bearer(of)) {
                Some(id) => drop(self.own.insert(folded(name), id)),
                None => nothing.push((name.clone(), of.clone())),
            }
        }
        nothing
    }

    /// The species that bear a common name.
    pub(crate) fn bearers(&self, name: &str) -> &[SpeciesId] {
        self.common.get(&folded(name).replace('-', " ")).map(Vec::as_slice).unwrap_or_default()
    }

    fn only_bearer(&self, name: &str) -> Option<SpeciesId> {
        match self.bearers(name) {
            [one] => Some(one.clone()),
            _ => None,
        }
    }

    /// The species called `name`, in any case and spacing, with or without the author of the name behind it.
    pub(crate) fn get(&self, name: &str) -> Option<SpeciesId> {
        let known = self.written.get(name).or_else(|| self.names.get(&canonical(name)));
        let own = || if self.own.is_empty() { None } else { self.own.get(&folded(name)) };
        if let Some(id) = known.or_else(own) {
            return Some(id.clone());
        }
        if let Some(id) = self.beside(name) {
            return Some(id);
        }
        let words: Vec<&str> = name.split_whitespace().collect();
        let shorter = (2..words.len()).rev().filter(|&end| begins_an_author(words[end]));
        shorter.filter_map(|end| self.names.get(&canonical(&words[..end].join(" ")))).next().cloned()
    }

    /// The species whose scientific name stands beside one of its common names, in either order: `Blackwood (Acacia melanoxylon)`. Two colons
    /// part nothing else.
    fn beside(&self, name: &str) -> Option<SpeciesId> {
        let (id, other, between) = self.parted(name)?;
        (between == " :: " || self.bearers(other).contains(&id)).then_some(id)
    }

    /// The species of whose name one part is the scientific one, the other part, and what stands between them.
    fn parted<'n>(&self, name: &'n str) -> Option<(SpeciesId, &'n str, &'static str)> {
        let (between, (one, other)) =
            BETWEEN.iter().find_map(|between| Some((*between, name.split_once(between)?)))?;
        let bare = |part: &'n str| part.trim().trim_end_matches(')');
        let of = |part: &str| self.names.get(&canonical(part)).cloned();
        let (one, other) = (bare(one), bare(other));
        match (of(one), of(other)) {
            (Some(id), None) => Some((id, other, between)),
            (None, Some(id)) => Some((id, one, between)),
            _ => None,
        }
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
        let by_common_name = || self.only_bearer(found).map(|id| id.0.to_string());
        let by_old_name = || BUILT_IN.synonyms.get(&wanted).map(|id| id.0.to_string());
        let by_part = || self.parted(found).map(|(id, ..)| id.0.to_string());
        cut_short
            .or_else(by_common_name)
            .or_else(by_part)
            .or_else(by_old_name)
            .or_else(|| self.guesses.nearest(&wanted))
    }
}

/// What stands between a scientific name and a common one.
const BETWEEN: [&str; 7] = [" :: ", " (", " - ", " – ", " / ", " | ", ", "];

/// What begins or ends the name of a group of plants, as planting books have it.
const GROUP_BEGINS: [&str; 9] =
    ["mixed", "mix", "assorted", "various", "misc", "miscellaneous", "other", "unknown", "unidentified"];
const GROUP_ENDS: [&str; 6] = ["mix", "mixed", "spp", "spp.", "assorted", "various"];

/// Whether a name stands for a group of plants, such as `mixed shrubs` or `Acacia spp.`, and not for a species.
pub(crate) fn names_a_group(name: &str) -> bool {
    let name = folded(name);
    let words: Vec<&str> = name.split(' ').collect();
    words.len() > 1
        && (words.first().is_some_and(|first| GROUP_BEGINS.contains(first))
            || words.last().is_some_and(|last| GROUP_ENDS.contains(last)))
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
    fn groups_are_told_from_species() {
        for group in [
            "mixed shrubs",
            "Mixed Natives",
            "Acacia spp.",
            "Eucalyptus spp",
            "assorted tubestock",
            "native mix",
        ] {
            assert!(names_a_group(group), "{group}");
        }
        for species in ["Acacia fimbriata", "Acacia sp.", "Olearia mixta", "Various"] {
            assert!(!names_a_group(species), "{species}");
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
