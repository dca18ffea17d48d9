//! Species by the names that people write for them.

use std::{cell::RefCell, collections::BTreeMap, sync::Arc};

use unicode_normalization::UnicodeNormalization as _;

use crate::{
    intake::{built_in::BUILT_IN, last_word::LastWords, nearest::folded},
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
    /// The same without what people vary when they write a name down.
    bare: BTreeMap<String, Vec<SpeciesId>>,
    /// The same by the last words of their common names.
    last: LastWords,
    /// What was guessed before: a table that misspells a name mostly does so in many rows.
    guesses: RefCell<BTreeMap<String, Option<String>>>,
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
        let mut undressed: BTreeMap<String, Vec<SpeciesId>> = BTreeMap::new();
        for (name, bearers) in &common {
            let all = undressed.entry(bare(name)).or_default();
            for id in bearers {
                if !all.contains(id) {
                    all.push(id.clone());
                }
            }
        }
        SpeciesNames {
            names,
            written,
            common,
            bare: undressed,
            own: BTreeMap::new(),
            last: LastWords::of(list),
            guesses: RefCell::default(),
            complete,
        }
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

    /// The common name that `found` was most likely meant to be, with the species that bear it: the same but for spaces, hyphens, capitals and
    /// the ending of several, else the only one that begins alike and is one letter off.
    pub(crate) fn like(&self, found: &str) -> Option<(String, &[SpeciesId])> {
        let wanted = bare(found);
        let written = |name: &str| {
            let of = |(common, _): (&String, _)| (bare(common) == name).then(|| common.clone());
            self.common.iter().find_map(of).unwrap_or_default()
        };
        if let Some((name, bearers)) = self.bare.get_key_value(&wanted) {
            return Some((written(name), bearers));
        }
        if wanted.chars().count() < LONG_ENOUGH {
            return None;
        }
        let near = |name: &str| {
            name.chars().next() == wanted.chars().next()
                && name.len().abs_diff(wanted.len()) <= 2
                && strsim::osa_distance(name, &wanted) == 1
        };
        let mut near = self.bare.iter().filter(|(name, _)| near(name));
        let (name, bearers) = near.next().filter(|_| near.next().is_none())?;
        Some((written(name), bearers))
    }

    /// The only species that the last word of `found` can mean, and that word.
    pub(crate) fn only_by_last_word(&self, found: &str) -> Option<(SpeciesId, String)> {
        self.last.only(found)
    }

    /// The name that `found` was most likely meant to be: a slip, a genus cut short, or a common name. Only where nothing else is as near.
    pub(crate) fn nearest(&self, found: &str) -> Option<String> {
        if let Some(guess) = self.guesses.borrow().get(found) {
            return guess.clone();
        }
        let guess = self.guess(found);
        self.guesses.borrow_mut().insert(found.to_owned(), guess.clone());
        guess
    }

    fn guess(&self, found: &str) -> Option<String> {
        let wanted = canonical(found);
        let cut_short = wanted.split_once(". ").and_then(|(genus, epithet)| {
            let fits = |name: &str| {
                name.starts_with(genus) && name.split_once(' ').is_some_and(|(_, other)| other == epithet)
            };
            let mut fitting = self.names.iter().filter(|(name, _)| fits(name));
            fitting.next().filter(|_| fitting.next().is_none()).map(|(_, id)| id)
        });
        let common = || match self.like(found)? {
            (_, [one]) => Some(one.0.to_string()),
            _ => None,
        };
        cut_short
            .map(|id| id.0.to_string())
            .or_else(|| self.only_bearer(found).map(|id| id.0.to_string()))
            .or_else(|| self.parted(found).map(|(id, ..)| id.0.to_string()))
            .or_else(|| BUILT_IN.synonyms.get(&wanted).map(|id| id.0.to_string()))
            .or_else(|| self.misspelt(&wanted).map(|id| id.0.to_string()))
            .or_else(common)
    }

    /// The only species whose scientific name is so few letters from `wanted` that no other is meant: word by word, for an epithet that differs
    /// in more is another species.
    fn misspelt(&self, wanted: &str) -> Option<&SpeciesId> {
        let words: Vec<&str> = wanted.split(' ').collect();
        let slips = |name: &str| -> Option<usize> {
            if bare(name) == bare(wanted) {
                return Some(0);
            }
            let others: Vec<&str> = name.split(' ').collect();
            if others.len() != words.len() {
                return None;
            }
            let each = words.iter().zip(&others).map(|(word, other)| {
                let letters = word.chars().count();
                // Words of unlike lengths can't be near: the slow comparison is spared.
                let near = letters.abs_diff(other.chars().count()) <= slips_in(letters);
                let slips = near.then(|| strsim::osa_distance(word, other))?;
                (slips <= slips_in(letters)).then_some(slips)
            });
            each.sum::<Option<usize>>().filter(|slips| *slips <= MOST_SLIPS)
        };
        only_nearest(self.names.iter().filter_map(|(name, id)| Some((slips(name)?, id))))
    }
}

/// How many letters of a word of so many may be wrong for it to be the same word (judgement).
fn slips_in(letters: usize) -> usize {
    match letters {
        0..=3 => 0,
        4..=6 => 1,
        _ => 2,
    }
}

/// How many of a whole name (judgement).
const MOST_SLIPS: usize = 3;

/// Letters that a common name must have for one of them to be a slip (judgement).
const LONG_ENOUGH: usize = 7;

/// The one that is nearest; `None` where two are as near.
fn only_nearest<'a>(near: impl Iterator<Item = (usize, &'a SpeciesId)>) -> Option<&'a SpeciesId> {
    let mut near: Vec<(usize, &SpeciesId)> = near.collect();
    near.sort_by_key(|(slips, _)| *slips);
    match near.as_slice() {
        [(slips, one), (other, another), ..] if slips == other && one != another => None,
        [(_, one), ..] => Some(one),
        [] => None,
    }
}

/// A name without what people vary when they write it down: capitals, spaces, hyphens, marks over letters, and the ending of several.
fn bare(name: &str) -> String {
    // Taken apart, the marks over letters are no letters.
    let letters: String = folded(name).nfd().filter(|letter| letter.is_alphanumeric()).collect();
    match (letters.strip_suffix("ies"), letters.strip_suffix('s')) {
        (Some(stem), _) if stem.len() > 3 => format!("{stem}y"),
        (_, Some(stem)) if stem.len() > 3 && !stem.ends_with('s') => stem.to_owned(),
        _ => letters,
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
        for (found, near) in [
            ("Black wood", "Acacia melanoxylon"),
            ("BLACKWOODS", "Acacia melanoxylon"),
            ("black-wood", "Acacia melanoxylon"),
            ("Blackwod", "Acacia melanoxylon"),
            ("Acaciamelanoxylon", "Acacia melanoxylon"),
        ] {
            assert_eq!(nearest(found).as_deref(), Some(near), "{found}");
        }
        // No other species than the one that was written is offered.
        for stranger in [
            "Quercus robur",
            "Acacia brachyfolia",
            "Blackbutts of old",
            "Wattl",
            "Eucalyptus",
            "Redwood pine",
        ] {
            assert_eq!(nearest(stranger), None, "{stranger}");
        }
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
