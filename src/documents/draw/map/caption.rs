//! The words about a map that stand off it: its caption and its description for those who can't see it.

use std::collections::BTreeMap;

use crate::draw::map::{
    backdrop::{self, ThematicLayer},
    inked::Inked,
    item::Named,
    sheet::MapSpec,
    sign::{Extent, Sign},
    window::Window,
};

/// Things with a name of their own that lie off the map, by kind.
pub(super) fn outside(plan: &MapSpec, inked: &[Inked<'_>]) -> BTreeMap<Named, usize> {
    let mut counts: BTreeMap<Named, usize> = BTreeMap::new();
    for label in plan.items.iter().filter_map(|item| item.label.as_ref()) {
        *counts.entry(label.named).or_insert(0) += 1;
    }
    for label in inked.iter().filter_map(|one| one.item.label.as_ref()) {
        counts.entry(label.named).and_modify(|count| *count -= 1);
    }
    counts.retain(|_, count| *count > 0);
    counts
}

/// `2 survey plots, 1 feature`.
fn listed(counts: &BTreeMap<Named, usize>) -> String {
    let parts: Vec<String> =
        counts.iter().map(|(named, count)| format!("{count} {}", named.words(*count))).collect();
    parts.join(", ")
}

/// What stands below a map.
pub(super) fn caption(
    plan: &MapSpec,
    window: &Window,
    unnamed: &BTreeMap<Named, usize>,
    outside: &BTreeMap<Named, usize>,
) -> String {
    let mut caption = plan.caption.clone();
    let beyond = |ground: &ThematicLayer| ground.within.is_none() && !backdrop::fills(ground, window);
    if plan.grounds.iter().any(beyond) {
        caption += " White ground at the edge lies beyond the terrain model.";
    }
    if !unnamed.is_empty() {
        caption += &format!(" Drawn without a name for want of room: {}.", listed(unnamed));
    }
    if !outside.is_empty() {
        caption += &format!(" Beyond the edge of this map: {}.", listed(outside));
    }
    caption
}

/// What a map shows, for those who can't see it.
pub(super) fn alt(plan: &MapSpec, window: &Window, legend: &[(Sign, String)]) -> String {
    let areas: Vec<&str> = plan
        .items
        .iter()
        .filter_map(|item| item.label.as_ref().filter(|label| label.named == Named::Area))
        .filter_map(|label| label.forms.last()?.first())
        .map(|line| line.text.as_str())
        .collect();
    let shown: Vec<&str> = legend
        .iter()
        .filter(|(sign, _)| !matches!(sign, Sign::Feature(_, _, _, Extent::Point) | Sign::Ring))
        .map(|(_, words)| words.as_str())
        .collect();
    let named = match areas.len() {
        0 => String::new(),
        count if count <= 6 => format!(" of {}", areas.join(", ")),
        count => format!(" of {count} planting areas"),
    };
    format!("Map{named} at {}. Shown: {}.", window.scale.printed(), shown.join("; "))
}
