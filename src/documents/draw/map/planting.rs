//! The planting map: areas by the season in which they were planted, infill hatched, stems and species as labels.

use std::collections::BTreeMap;

use crate::draw::{
    map::{
        item::{Item, Label, Named, area_forms, fact, features, name},
        layout::Paper,
        locator::Locator,
        season::{Season, classes},
        sheet::MapSpec,
        sign::Sign,
        site::core,
    },
    text::Line,
};
use hillfolio_core::{
    ledger::{Ledger, catalogue},
    project::{Area, Planting, Project, Shape, SpeciesId},
    units::{Unit, number},
};

/// The planting map; `None` where nothing was planted by the end of the period.
#[must_use]
pub(super) fn plan(project: &Project, ledger: &Ledger) -> Option<MapSpec> {
    let latitude = core(project).first()?.y();
    let seasons: Vec<Season> =
        project.plantings_to_date().map(|planting| Season::of(planting.date, latitude)).collect();
    if seasons.is_empty() {
        return None;
    }
    let classes = classes(&seasons);
    let mut items: Vec<Item> = Vec::new();
    let mut mixed = false;
    for area in &project.areas {
        let plantings: Vec<&Planting> =
            project.plantings_to_date().filter(|planting| planting.area == area.id).collect();
        let class = |planting: &Planting| classes.of(Season::of(planting.date, latitude));
        let stems = stems_by_class(&plantings, class);
        mixed |= stems.len() > 1;
        items.push(area_item(area, &plantings, main_class(&stems), ledger));
        if plantings.iter().any(|planting| planting.replaces.is_some()) {
            items.push(infill_item(area));
        }
    }
    for item in &mut items {
        if let Sign::Planted(class) = item.sign {
            item.words = format!("Planted {}", classes.words(class));
        }
    }
    items.extend(features(project).map(|item| Item { label: None, ..item }));
    Some(MapSpec {
        name: "planting-map".to_owned(),
        title: "Planting map".to_owned(),
        caption: caption(mixed),
        core: core(project),
        items,
        widens: true,
        grounds: Vec::new(),
        relief: None,
        locator: Locator::Graticule,
        paper: Paper::Page,
    })
}

fn caption(mixed: bool) -> String {
    let mut caption = "Stems planted to the end of the period, by planting area; in italics the species with the most of them.".to_owned();
    if mixed {
        caption += " An area planted in more than one season bears the sign of the one in which most of its stems were set.";
    }
    caption
}

fn area_item(area: &Area, plantings: &[&Planting], class: Option<u8>, ledger: &Ledger) -> Item {
    let (sign, words) = match class {
        Some(class) => (Sign::Planted(class), String::new()),
        None => (Sign::Unplanted, "Not yet planted".to_owned()),
    };
    Item {
        sign,
        words,
        shape: Shape::Polygons(area.boundary.clone()),
        bearing: None,
        label: Some(Label {
            named: Named::Area,
            forms: area_forms(&area.id.0, &facts(area, plantings, ledger)),
        }),
    }
}

/// An area in which losses were made good: the hatch over its season's fill.
fn infill_item(area: &Area) -> Item {
    Item {
        sign: Sign::Infill,
        words: "Losses made good by infill".to_owned(),
        shape: Shape::Polygons(area.boundary.clone()),
        bearing: None,
        label: None,
    }
}

/// What an area's label says beside its name: the ledger's stems and species, and the commonest species.
fn facts(area: &Area, plantings: &[&Planting], ledger: &Ledger) -> Vec<Line> {
    let figure = |series| ledger.figure_of(series, &[&area.id.0]).filter(|f| f.value > 0.0);
    let mut facts = Vec::new();
    let stems =
        figure(&catalogue::STEMS).map(|f| format!("{} stems", number(f.value, Unit::Stems.decimals())));
    let species = figure(&catalogue::SPECIES_COUNT).map(|f| format!("{} species", number(f.value, 0)));
    let counted: Vec<String> = stems.into_iter().chain(species).collect();
    if !counted.is_empty() {
        facts.push(fact(counted.join(", ")));
    }
    if let Some(species) = commonest(plantings) {
        facts.push(fact(name(&species.0)).italic());
    }
    facts
}

/// The species with the most stems; of equals the first by name.
fn commonest(plantings: &[&Planting]) -> Option<SpeciesId> {
    let mut stems: BTreeMap<&SpeciesId, u64> = BTreeMap::new();
    for planting in plantings {
        *stems.entry(&planting.species).or_insert(0) += planting.stems.0;
    }
    let most = stems.values().copied().max()?;
    stems.into_iter().find(|(_, count)| *count == most).map(|(species, _)| species.clone())
}

/// Stems by season's class, without infill; where there is nothing but infill, the infill.
fn stems_by_class(plantings: &[&Planting], class: impl Fn(&Planting) -> u8) -> BTreeMap<u8, u64> {
    let of = |infill: bool| {
        let mut stems: BTreeMap<u8, u64> = BTreeMap::new();
        for planting in plantings.iter().filter(|planting| planting.replaces.is_some() == infill) {
            *stems.entry(class(planting)).or_insert(0) += planting.stems.0;
        }
        stems
    };
    let first = of(false);
    if first.is_empty() { of(true) } else { first }
}

fn main_class(stems: &BTreeMap<u8, u64>) -> Option<u8> {
    let most = stems.values().copied().max()?;
    stems.iter().find(|(_, count)| **count == most).map(|(class, _)| *class)
}
