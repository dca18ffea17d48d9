//! `[tables.NAME]`: a table that lives elsewhere is mapped, not renamed.

use std::collections::BTreeMap;

use crate::{
    intake::{
        mapping::{DateOrder, Mapping},
        nearest::same,
        records::LAYOUTS,
        settings::section::Section,
    },
    problem::Settings,
};

/// What a project folder can hold besides tables.
const LAYERS: [&str; 3] = ["areas", "features", "terrain"];

/// Every mapping, by the name of its table.
pub(crate) fn tables(root: &mut Section) -> BTreeMap<String, Mapping> {
    let Some(mut section) = root.section("tables") else { return BTreeMap::new() };
    let names = LAYERS.into_iter().chain(LAYOUTS.iter().map(|layout| layout.table));
    let found = names.filter_map(|name| Some((name.to_owned(), mapping(section.section(name)?))));
    let found = found.collect();
    section.finish();
    found
}

fn mapping(mut section: Section) -> Mapping {
    let file = section.text("file");
    let sheet = section.text("sheet");
    let orders = [("day-first", DateOrder::DayFirst), ("month-first", DateOrder::MonthFirst)];
    let dates = section.choice("dates", &orders).unwrap_or_default();
    let columns = section.section("columns").map(columns).unwrap_or_default();
    section.finish();
    Mapping { file, sheet, columns, dates }
}

fn columns(mut section: Section) -> BTreeMap<String, String> {
    let mut found: BTreeMap<String, String> = BTreeMap::new();
    for heading in section.own_keys() {
        let Some(column) = section.text_of(&heading) else { continue };
        if found.values().any(|earlier| same(earlier, &column)) {
            section.say(&heading, Settings::NameTwice { what: "headings", name: column.clone() });
        }
        found.insert(heading, column);
    }
    found
}
