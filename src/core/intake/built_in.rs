//! The species that come with the program: what is known of those that are often planted, and the names of many more.

use std::{
    collections::{BTreeMap, BTreeSet},
    sync::LazyLock,
};

use crate::{
    intake::{
        mapping::Mapping,
        nearest::folded,
        records::species::built_in_row,
        table::{Layout, Table},
    },
    problem::Problem,
    project::{self, Species, SpeciesId, SpeciesList},
};

/// The columns of the list with facts.
pub(crate) static LAYOUT: LazyLock<Layout> =
    LazyLock::new(|| Layout::of(&project::Table::of::<Species>(&[])));

/// The columns of the list of names.
static NAMES: LazyLock<Layout> = LazyLock::new(|| Layout {
    table: "species",
    required: vec!["species"],
    optional: vec![
        "authority",
        "common_name",
        "other_names",
        "family",
        "form",
        "role",
        "synonyms",
        "source",
        "confidence",
    ],
});

/// Both lists; their sources stand in the notice beside them.
pub(crate) static BUILT_IN: LazyLock<BuiltIn> = LazyLock::new(|| BuiltIn::read(&mut Vec::new()));

/// What comes with the program.
pub(crate) struct BuiltIn {
    /// The species.
    pub(crate) list: SpeciesList,
    /// Further common names, and the species that each belongs to.
    pub(crate) other_names: Vec<(String, SpeciesId)>,
    /// Names that botanists gave up, folded, and what the species is called now. Some were only ever misapplied: good for asking.
    pub(crate) synonyms: BTreeMap<String, SpeciesId>,
}

impl BuiltIn {
    /// Reads both lists; a test holds them to having no problem.
    pub(crate) fn read(problems: &mut Vec<Problem>) -> BuiltIn {
        let mut built_in =
            BuiltIn { list: SpeciesList::default(), other_names: Vec::new(), synonyms: BTreeMap::new() };
        let mut open = |layout, name, text| Table::open(layout, name, text, &Mapping::default(), problems);
        let facts = open(&LAYOUT, "built-in species", include_str!("built_in_species/species.csv"));
        let names = open(&NAMES, "built-in names", include_str!("built_in_species/names.csv"));
        if let Some(table) = facts {
            let read = table.each(problems, built_in_row);
            read.into_iter().for_each(|species| built_in.list.put(species));
        }
        if let Some(table) = names {
            table.each(problems, |row| {
                let id = SpeciesId(row.raw("species")?.into());
                if built_in.list.get(&id).is_none() {
                    built_in.list.put(built_in_row(row)?);
                }
                let listed = |column| row.raw(column).unwrap_or_default().split(';').map(str::trim);
                let others = listed("other_names").filter(|name| !name.is_empty());
                built_in.other_names.extend(others.map(|name| (name.to_owned(), id.clone())));
                let old = listed("synonyms").filter(|name| !name.is_empty());
                built_in.synonyms.extend(old.map(|name| (folded(name), id.clone())));
                Some(())
            });
        }
        built_in
    }
}

/// The names of plants, of every kind, folded; of scientific ones the genus too.
static WORDS: LazyLock<BTreeSet<String>> = LazyLock::new(|| {
    let mut words = BTreeSet::new();
    for species in BUILT_IN.list.iter() {
        let name = folded(&species.id.0);
        words.extend(name.split(' ').next().map(str::to_owned));
        words.insert(name);
        words.extend(species.common_name.as_deref().map(folded));
    }
    words.extend(BUILT_IN.other_names.iter().map(|(name, _)| folded(name)));
    words.extend(BUILT_IN.synonyms.keys().cloned());
    words
});

/// The last words of common names of more than one word, and genera: what names of plants end in.
static LAST: LazyLock<BTreeSet<String>> = LazyLock::new(|| {
    let common = BUILT_IN.list.iter().filter_map(|species| species.common_name.as_deref());
    let common = common.chain(BUILT_IN.other_names.iter().map(|(name, _)| name.as_str())).map(folded);
    let last = common.filter_map(|name| name.rsplit_once([' ', '-']).map(|(_, last)| last.to_owned()));
    let genera =
        BUILT_IN.list.iter().filter_map(|species| folded(&species.id.0).split(' ').next().map(str::to_owned));
    last.chain(genera).collect()
});

/// Whether `word` is the name of a plant or ends as names of plants do, such as `Manna gum`.
pub(crate) fn sounds_like_a_plant(word: &str) -> bool {
    let ends = || folded(word).rsplit_once([' ', '-']).is_some_and(|(_, last)| LAST.contains(last));
    names_a_plant(word) || ends()
}

/// Whether `word` is most likely the name of a plant: one that is known, or the name of a known genus with another word behind it.
pub(crate) fn names_a_plant(word: &str) -> bool {
    let word = folded(word);
    let genus = || word.split_once(' ').is_some_and(|(genus, _)| WORDS.contains(genus));
    WORDS.contains(&word) || WORDS.contains(&word.replace('-', " ")) || genus()
}
