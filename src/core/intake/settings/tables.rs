//! `[tables.NAME]`: a table that lives elsewhere is mapped, not renamed.

use std::collections::BTreeMap;

use crate::{
    geometry::System,
    intake::{
        mapping::{DateOrder, Mapping, Told},
        nearest::{folded, same},
        records::LAYOUTS,
        settings::section::Section,
    },
    problem::Settings,
    project::{FeatureKind, PhotoPoint, Standing, TableRow},
};

/// What a project folder can hold besides tables.
const LAYERS: [&str; 3] = ["areas", "features", "terrain"];

/// Units that heights may count, in metres.
const HEIGHTS: [(&str, f64); 6] =
    [("m", 1.0), ("dm", 0.1), ("cm", 0.01), ("mm", 0.001), ("ft", 0.3048), ("us-ft", 1200.0 / 3937.0)];

/// Every mapping, by the name of its table.
pub(crate) fn tables(root: &mut Section) -> BTreeMap<String, Mapping> {
    let Some(mut section) = root.section("tables") else { return BTreeMap::new() };
    let names = LAYERS.into_iter().chain(LAYOUTS.iter().map(|layout| layout.table));
    let found = names.filter_map(|name| Some((name.to_owned(), mapping(name, section.section(name)?))));
    let found = found.collect();
    section.finish();
    found
}

fn mapping(name: &str, mut section: Section) -> Mapping {
    let file = section.text("file");
    let sheet = section.text("sheet");
    let orders = [("day-first", DateOrder::DayFirst), ("month-first", DateOrder::MonthFirst)];
    let dates = section.choice("dates", &orders).unwrap_or_default();
    let columns = section.section("columns").map(columns).unwrap_or_default();
    let told = told(name, &mut section);
    section.finish();
    Mapping { file, sheet, columns, dates, told }
}

/// What is said of a layer or the terrain model in its stead.
fn told(name: &str, section: &mut Section) -> Told {
    let mut told = Told::default();
    if LAYERS.contains(&name) || name == PhotoPoint::TABLE {
        told.crs = crs(section);
    }
    if name == "terrain" {
        told.heights = section.choice("heights", &HEIGHTS);
        told.missing =
            section.number("missing", f64::MIN, f64::MAX, "the height that stands for none, such as -9999");
    }
    if name == "features" {
        let kinds = FeatureKind::ALL.map(|kind| (kind.words(), kind));
        told.kind = section.choice("kind", &kinds);
        let standings = [Standing::Existing, Standing::New].map(|standing| (standing.word(), standing));
        told.status = section.choice("status", &standings);
    }
    told
}

/// A coordinate reference system by its EPSG code.
fn crs(section: &mut Section) -> Option<u16> {
    let written = section.text("crs")?;
    let code = folded(&written).strip_prefix("epsg:").and_then(|code| code.trim().parse::<u16>().ok());
    let code = code.filter(|code| System::of_epsg(*code).is_some());
    if code.is_none() {
        let wanted = "the EPSG code of a coordinate reference system that is read, such as \"EPSG:7855\"";
        section.wrong("crs", wanted, None);
    }
    code
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
