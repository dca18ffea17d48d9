//! Survey after survey: stems and covers over time, with what the targets ask.

use std::collections::BTreeMap;

use crate::draw::{
    Drawing,
    chart::{
        canvas,
        curve::{Aim, Curve, Shape},
        panels::{ABREAST, Panel, Panels, Strip},
        rounds::{Scopes, aims, curve, reading, time},
        words::{confidence, listed, value},
    },
};
use hillfolio_core::{
    ledger::{Figure, FigureId, Ledger, Series, catalogue},
    project::{Layer, Project, slug},
    units::Unit,
};

/// Most covers that a page holds.
const MOST_COVERS: usize = 4 * ABREAST;

/// What one strip of panels shows: series, names at the ends of their curves, shapes.
struct Measured {
    title: String,
    shares: bool,
    curves: Vec<(&'static Series, &'static str, Shape)>,
}

/// The share of planted stems alive, and stems to the hectare with those of them that are self-sown.
pub(super) fn stems(project: &Project, ledger: &Ledger) -> Option<Drawing> {
    let density = Unit::StemsPerHectare;
    let shown = [
        Measured {
            title: "Planted stems alive".to_owned(),
            shares: true,
            curves: vec![(&catalogue::SURVIVAL, "", Shape::Disc)],
        },
        Measured {
            title: format!("Living stems, {density}"),
            shares: false,
            curves: vec![
                (&catalogue::DENSITY, "all living", Shape::Disc),
                (&catalogue::RECRUITS, "self-sown", Shape::Triangle),
            ],
        },
    ];
    let words = Words {
        name: "survey-series",
        title: "Stems from survey to survey",
        note: "Stems planted as infill count among the planted.",
    };
    over_areas(project, ledger, &shown, &words)
}

/// The stock of carbon of each area.
pub(super) fn carbon(project: &Project, ledger: &Ledger) -> Option<Drawing> {
    let shown = [Measured {
        title: format!("Carbon stock of living wood and roots, {}", Unit::CarbonDioxide),
        shares: false,
        curves: vec![(&catalogue::CARBON_STOCK, "", Shape::Disc)],
    }];
    let words = Words {
        name: "carbon-series",
        title: "Carbon stock from survey to survey",
        note: "The stock is that of the whole area.",
    };
    over_areas(project, ledger, &shown, &words)
}

struct Words {
    name: &'static str,
    title: &'static str,
    note: &'static str,
}

/// A panel an area and measure.
fn over_areas(project: &Project, ledger: &Ledger, shown: &[Measured], words: &Words) -> Option<Drawing> {
    let scopes = Scopes::of(project);
    let mut ids: Vec<FigureId> = Vec::new();
    let mut strips: Vec<(usize, Strip<'_>)> = Vec::new();
    for some in scopes.shown.chunks(ABREAST) {
        for (measure, measured) in shown.iter().enumerate() {
            let panels = some.iter().map(|(heading, name)| {
                let mut panel = Panel { heading: heading.clone(), ..Panel::default() };
                for (series, end, shape) in &measured.curves {
                    let id = series.id(&[name]);
                    panel.curves.extend(curve(ledger, &id, end, *shape));
                    panel.aims.extend(aims(project, ledger, &id));
                    ids.push(id);
                }
                panel
            });
            let panels: Vec<Panel<'_>> = panels.filter(|panel| !panel.curves.is_empty()).collect();
            if !panels.is_empty() {
                let (title, shares) = (measured.title.clone(), measured.shares);
                strips.push((measure, Strip { title, shares, highest: 0.0, panels }));
            }
        }
    }
    // Strips of one measure share their scale, so that areas can be held against each other.
    let highest = |measure: usize| {
        let of = strips.iter().filter(|(other, _)| *other == measure).flat_map(|(_, strip)| &strip.panels);
        of.map(Panel::highest).fold(0.0, f64::max)
    };
    let highest: Vec<f64> = (0..shown.len()).map(highest).collect();
    let strips = strips.into_iter().map(|(measure, strip)| Strip { highest: highest[measure], ..strip });
    let panels = Panels { strips: strips.collect(), across: time(project, ledger, &ids)?, counted: "" };
    finished(words, &panels, &format!("{}{}", words.note, scopes.words()))
}

/// Every cover of every layer, over all areas; an area has a panel of its own where a target asks about it.
pub(super) fn cover(project: &Project, ledger: &Ledger) -> Option<Drawing> {
    let mut names: BTreeMap<(Layer, String), &str> = BTreeMap::new();
    for reading in &project.cover {
        names.entry((reading.layer, slug(&reading.cover))).or_insert(reading.cover.trim());
    }
    let mut ids: Vec<FigureId> = Vec::new();
    let mut panels: Vec<(Layer, Panel<'_>)> = Vec::new();
    for ((layer, cover), name) in &names {
        let areas = project.areas.iter().map(|area| (format!(", {}", area.id), &*area.id.0));
        for (place, area) in std::iter::once((String::new(), "all")).chain(areas) {
            let id = catalogue::COVER.id(&[layer.word(), cover, area]);
            let aims = aims(project, ledger, &id);
            let wanted = area == "all" || !aims.is_empty();
            if let Some(curve) = curve(ledger, &id, "", Shape::Disc).filter(|_| wanted) {
                let heading = format!("{}: {name}{place}", layer.word());
                panels.push((*layer, Panel { heading, curves: vec![curve], aims, ..Panel::default() }));
                ids.push(id);
            }
        }
    }
    // Within a layer, what covers most stands first.
    let last = |panel: &Panel<'_>| panel.curves[0].points.last().map_or(0.0, |(_, figure)| figure.value);
    panels.sort_by(|(one, a), (other, b)| one.cmp(other).then(last(b).total_cmp(&last(a))));
    let left_out = panels.len().saturating_sub(MOST_COVERS);
    panels.truncate(MOST_COVERS);
    let mut panels: Vec<Panel<'_>> = panels.into_iter().map(|(_, panel)| panel).collect();
    let mut strips = Vec::new();
    while !panels.is_empty() {
        let rest = panels.split_off(panels.len().min(ABREAST));
        let title = if strips.is_empty() { "Share of the ground covered" } else { "" };
        strips.push(Strip { title: title.to_owned(), shares: true, highest: 1.0, panels });
        panels = rest;
    }
    let words =
        Words { name: "survey-series-cover", title: "Cover from survey to survey, by layer", note: "" };
    let mut note = "All areas, weighted by their hectares, unless an area is named. Layers lie over each other, so their covers do \
                    not add up to the whole."
        .to_owned();
    if left_out > 0 {
        note += &format!(" {left_out} covers are left out here; the table has them.");
    }
    finished(&words, &Panels { strips, across: time(project, ledger, &ids)?, counted: "" }, &note)
}

/// The drawing of `panels`; `None` where there are none.
fn finished(words: &Words, panels: &Panels<'_>, note: &str) -> Option<Drawing> {
    if panels.strips.is_empty() {
        return None;
    }
    let every =
        || panels.strips.iter().flat_map(|strip| strip.panels.iter().map(move |panel| (strip, panel)));
    let curves = || every().flat_map(|(_, panel)| &panel.curves);
    let targets: Vec<&Aim<'_>> = every().flat_map(|(_, panel)| &panel.aims).collect();
    let level = confidence(curves().flat_map(figures));
    let said: Vec<String> = every().flat_map(|(strip, panel)| told(strip, panel)).collect();
    Some(Drawing {
        name: words.name.to_owned(),
        title: words.title.to_owned(),
        alt: format!(
            "Small line charts over time, from the first survey to the last: {}.",
            listed(&said, 24)
        ),
        caption: format!("{note} {}", reading(curves(), &targets, level.as_deref())).trim().to_owned(),
        svg: canvas::drawn(panels.size(), |canvas| panels.draw(canvas)),
        size_mm: panels.size(),
        landscape: false,
    })
}

fn figures<'a>(curve: &'a Curve<'a>) -> impl Iterator<Item = &'a Figure> {
    curve.points.iter().map(|(_, figure)| *figure)
}

/// What a panel shows, in words.
fn told(strip: &Strip<'_>, panel: &Panel<'_>) -> Vec<String> {
    let of = |curve: &Curve<'_>| {
        let [(_, first), .., (_, last)] = curve.points.as_slice() else { return None };
        let name = if curve.name.is_empty() { strip.title.as_str() } else { curve.name };
        let name = if name.is_empty() { String::new() } else { format!(" {name}") };
        Some(format!("{}{name} {} to {}", panel.heading, value(first), value(last)))
    };
    panel.curves.iter().filter_map(of).collect()
}
