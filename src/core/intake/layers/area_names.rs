//! What areas are called: by the property that names them, by another that does, by their folder, their file or their number.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    intake::{
        layers::{drawn::Drawn, stated::states_size},
        nearest,
    },
    problem::{Ground, Place, Problem},
};

/// The property that names an area.
pub(super) const NAME: &str = "area";

/// Properties that name an area where none is called so, in the order in which they are looked for.
const ALSO_NAMES: [&str; 27] = [
    "name",
    "area name",
    "area_name",
    "areaname",
    "block",
    "block name",
    "paddock",
    "site",
    "site name",
    "site_name",
    "label",
    "title",
    "zone",
    "unit",
    "parcel",
    "parcel_id",
    "plot name",
    "plot_name",
    "polygon",
    "stand",
    "field_name",
    "compartment",
    "nom",
    "nome",
    "nombre",
    "naam",
    "bezeichnung",
];

/// Letters that a name has at most; more are a note.
const LONGEST: usize = 40;

/// How areas of one file are called.
pub(super) struct AreaNames<'a> {
    /// The property that names them all, where none is called as it should be.
    also: Option<String>,
    /// How many nameless areas lie in each folder.
    folders: BTreeMap<&'a str, usize>,
    /// Numbers given so far, by folder.
    given: BTreeMap<&'a str, usize>,
    /// Names that stand in the file, and those that were given.
    taken: BTreeSet<String>,
    nameless: usize,
    numbered: Vec<String>,
    file: &'a str,
}

impl<'a> AreaNames<'a> {
    /// The names of `boundaries`, which are of the file at `path`.
    pub(super) fn of(boundaries: &[&'a Drawn], path: &'a str) -> AreaNames<'a> {
        let unnamed = |one: &&&Drawn| one.property(NAME).is_none();
        let others: Vec<&&Drawn> = boundaries.iter().filter(unnamed).collect();
        let names_all = |name: &&&str| others.iter().all(|one| !one.walked && one.property(name).is_some());
        let also = ALSO_NAMES.iter().find(|name| !others.is_empty() && names_all(name));
        let also = also.map(|name| (*name).to_owned()).or_else(|| {
            // Where one property alone tells them apart in words, it names them.
            match telling(boundaries).as_slice() {
                [only] if others.len() == boundaries.len() && others.len() > 1 => Some(only.clone()),
                _ => None,
            }
        });
        let mut folders = BTreeMap::new();
        for one in &others {
            *folders.entry(one.group().unwrap_or_default()).or_insert(0) += 1;
        }
        let taken = boundaries.iter().filter_map(|one| one.property(NAME)).map(nearest::folded).collect();
        let nameless = others.len();
        AreaNames {
            also,
            folders,
            given: BTreeMap::new(),
            taken,
            nameless,
            numbered: Vec::new(),
            file: stem(path),
        }
    }

    /// What the area is called; `None` where it bears a property that was most likely meant to name it.
    pub(super) fn name(&mut self, drawn: &'a Drawn, problems: &mut Vec<Problem>) -> Option<String> {
        let name = drawn.property(NAME).or_else(|| drawn.property(self.also.as_deref()?));
        if let Some(name) = name {
            return Some(name.to_owned());
        }
        if let Some(nearest) = drawn.likely(NAME) {
            let kind = Ground::Nameless { property: NAME.to_owned(), nearest: Some(nearest) };
            problems.push(drawn.problem(kind, NAME));
            return None;
        }
        let name = self.given(drawn);
        self.taken.insert(nearest::folded(&name));
        self.numbered.push(name.clone());
        Some(name)
    }

    fn given(&mut self, drawn: &'a Drawn) -> String {
        let group = drawn.group().unwrap_or_default();
        let alone = self.folders.get(group) == Some(&1);
        let free = |taken: &BTreeSet<String>, name: &str| !taken.contains(&nearest::folded(name));
        if alone && !group.is_empty() && free(&self.taken, group) {
            return group.to_owned();
        }
        let generic =
            ["areas", "area", "boundary", "boundaries", ""].contains(&nearest::folded(self.file).as_str());
        if self.nameless == 1 && !generic && free(&self.taken, self.file) {
            return self.file.to_owned();
        }
        loop {
            let number = self.given.entry(group).or_insert(0);
            *number += 1;
            let name = if group.is_empty() { number.to_string() } else { format!("{group} {number}") };
            if free(&self.taken, &name) {
                return name;
            }
        }
    }

    /// Says once how the areas were called.
    pub(super) fn say(&self, boundaries: &[&Drawn], path: &str, problems: &mut Vec<Problem>) {
        let say = |kind: Ground| Problem::new(kind, Place::file(path));
        if let Some(property) = &self.also {
            problems.push(say(Ground::NamedBy { property: property.clone() }));
        }
        let names = match &self.numbered[..] {
            [] => return,
            [one] => format!("`{one}`"),
            [first, .., last] => format!("`{first}` to `{last}`"),
        };
        let column = telling(boundaries).into_iter().next();
        problems.push(say(Ground::NamesGiven { shapes: self.numbered.len(), names, column }));
    }
}

/// Properties of every one of `boundaries` that tell them apart and are in words, the likeliest first.
fn telling(boundaries: &[&Drawn]) -> Vec<String> {
    let Some(first) = boundaries.first().filter(|first| !first.walked) else { return Vec::new() };
    let tells = |name: &&str| {
        let mut seen = BTreeSet::new();
        boundaries.iter().all(|one| {
            let text = one.property(name).filter(|text| text.chars().any(char::is_alphabetic));
            let text = text.filter(|text| text.chars().count() <= LONGEST);
            text.is_some_and(|text| seen.insert(nearest::folded(text)))
        })
    };
    let names = first.properties().filter(|name| !states_size(name));
    let mut telling: Vec<&str> = names.filter(tells).collect();
    telling.sort_by_key(|name| !name.contains("name"));
    telling.into_iter().map(str::to_owned).collect()
}

/// The name of a file without its folder and ending.
fn stem(path: &str) -> &str {
    let name = path.rsplit('/').next().unwrap_or(path);
    name.rsplit_once('.').map_or(name, |(stem, _)| stem)
}
