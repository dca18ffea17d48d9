//! `[names.area]`, `[names.plot]`, `[names.species]`: what names of the user's own stand for.

use std::collections::BTreeMap;

use crate::intake::settings::section::Section;

/// Names as they are written, and what each stands for.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Names {
    /// Areas.
    pub(crate) area: BTreeMap<String, String>,
    /// Plots.
    pub(crate) plot: BTreeMap<String, String>,
    /// Species.
    pub(crate) species: BTreeMap<String, String>,
}

/// The section.
pub(crate) fn names(root: &mut Section) -> Names {
    let Some(mut section) = root.section("names") else { return Names::default() };
    let names = Names {
        area: of(&mut section, "area"),
        plot: of(&mut section, "plot"),
        species: of(&mut section, "species"),
    };
    section.finish();
    names
}

fn of(section: &mut Section, key: &'static str) -> BTreeMap<String, String> {
    let Some(mut table) = section.section(key) else { return BTreeMap::new() };
    table.own_keys().into_iter().filter_map(|name| Some((name.clone(), table.text_of(&name)?))).collect()
}
