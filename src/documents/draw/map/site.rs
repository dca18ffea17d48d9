//! The site map and its detail maps: areas, features, plots and photo points.

use std::sync::Arc;

use geo::{CoordsIter, MultiPolygon, Point, Polygon};

use crate::{
    draw::map::{
        details::{self, READABLE_MM},
        item::{Item, Label, Named, area_forms, fact, features, name, photo_points, plots},
        layout::Paper,
        locator::Locator,
        sheet::{MapSpec, window_of},
        sign::Sign,
        window::Window,
    },
    draw::text::{Line, Weight},
};
use hillfolio_core::{
    geometry::Grid,
    ledger::{Ledger, catalogue},
    project::{Area, Project, Shape},
    terrain,
    units::{Unit, number},
};

use geo::Coord;

/// The frame of a detail map is left out of the site map where it would be drawn smaller than this, in mm.
const SMALLEST_FRAME_MM: f64 = 6.0;

/// The site map on `paper`, with everything on it.
fn whole(project: &Project, ledger: &Ledger, paper: Paper) -> MapSpec {
    let items = project
        .areas
        .iter()
        .map(|area| area_item(area, ledger))
        .chain(features(project))
        .chain(photo_points(project))
        .chain(plots(project));
    MapSpec {
        name: match paper {
            Paper::Large => "site-map-a3".to_owned(),
            Paper::Page | Paper::Field => "site-map".to_owned(),
        },
        title: "Site map".to_owned(),
        caption: "Planting areas with their plan hectares, and what else the map of the site shows."
            .to_owned(),
        core: core(project),
        items: items.collect(),
        widens: true,
        grounds: Vec::new(),
        relief: relief(project),
        locator: Locator::Graticule,
        paper,
    }
}

/// The site map for the wall.
#[must_use]
pub(super) fn wall(project: &Project, ledger: &Ledger) -> MapSpec {
    whole(project, ledger, Paper::Large)
}

/// The site map with, where its areas would be too small to read, its detail maps.
#[must_use]
pub(super) fn plans(project: &Project, ledger: &Ledger) -> Vec<MapSpec> {
    let mut site = whole(project, ledger, Paper::Page);
    let items = site.items.clone();
    let grid = grid_of(project);
    let Some((_, window)) = window_of(&site, grid.as_ref()) else { return Vec::new() };
    let groups = details::groups(&project.areas, &window, READABLE_MM);
    let count = groups.len();
    let mut details: Vec<MapSpec> = Vec::new();
    for (at, group) in groups.iter().enumerate() {
        let plan = detail(project, &items, group, at + 1, count);
        if let Some((_, detail)) = window_of(&plan, grid.as_ref()) {
            site.items.retain(|item| item.sign != Sign::Plot || !detail.holds(&item.shape));
            if window.scale.paper(detail.scale.ground(detail.frame.width())) >= SMALLEST_FRAME_MM {
                site.items.push(frame_item(&detail, at + 1));
            }
        }
        details.push(plan);
    }
    if count > 0 {
        site.caption += " Parts of it, with their survey plots, follow on detail maps.";
    }
    std::iter::once(site).chain(details).collect()
}

/// The heights under a map of other things, where the folder holds a terrain model.
#[must_use]
pub(super) fn relief(project: &Project) -> Option<Arc<terrain::Grid>> {
    project.ground.as_ref().map(|ground| Arc::clone(&ground.heights))
}

/// The grid that the project's maps print; `None` where it names none that was made for the site.
#[must_use]
pub(super) fn grid_of(project: &Project) -> Option<Grid> {
    let site = *core(project).first()?;
    project.identity.grid.and_then(Grid::of_epsg).filter(|grid| grid.suits(site))
}

/// What the map must hold: the areas; where there are none, whatever has a place.
#[must_use]
pub(super) fn core(project: &Project) -> Vec<Point<f64>> {
    let areas: Vec<Point<f64>> =
        project.areas.iter().flat_map(|area| area.boundary.exterior_coords_iter()).map(Point).collect();
    if !areas.is_empty() {
        return areas;
    }
    let plots = project.plots.iter().filter_map(|plot| plot.position);
    plots.chain(project.photo_points.iter().map(|point| point.position)).collect()
}

/// An area's plan hectares as the ledger has them.
#[must_use]
pub(super) fn hectares(area: &Area, ledger: &Ledger) -> Option<String> {
    let figure = ledger.figure_of(&catalogue::AREA, &[&area.id.0])?;
    let printed = number(figure.value, Unit::Hectares.decimals());
    Some(if printed == "0.00" { "under 0.01\u{a0}ha".to_owned() } else { format!("{printed}\u{a0}ha") })
}

/// An area with its hectares.
#[must_use]
pub(super) fn area_item(area: &Area, ledger: &Ledger) -> Item {
    let facts: Vec<Line> = hectares(area, ledger).into_iter().map(fact).collect();
    Item {
        sign: Sign::Area,
        words: "Planting area".to_owned(),
        shape: Shape::Polygons(area.boundary.clone()),
        bearing: None,
        label: Some(Label { named: Named::Area, forms: area_forms(&area.id.0, &facts) }),
    }
}

fn detail(project: &Project, items: &[Item], group: &[usize], number: usize, count: usize) -> MapSpec {
    let areas: Vec<&Area> = group.iter().filter_map(|at| project.areas.get(*at)).collect();
    MapSpec {
        name: format!("detail-map-{number}"),
        title: match count {
            1 => format!("Detail map: {}", named(&areas)),
            _ => format!("Detail map {number} of {count}: {}", named(&areas)),
        },
        caption: "A part of the site map at a larger scale; the small map shows where.".to_owned(),
        core: core_of(&areas),
        items: items.to_vec(),
        widens: false,
        grounds: Vec::new(),
        relief: relief(project),
        locator: Locator::Among(project.areas.iter().map(|area| area.boundary.clone()).collect()),
        paper: Paper::Page,
    }
}

/// The names of `areas` in a title: three at most.
#[must_use]
pub(super) fn named(areas: &[&Area]) -> String {
    let names: Vec<String> = areas.iter().take(3).map(|area| name(&area.id.0)).collect();
    let more = match areas.len().saturating_sub(3) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    names.join(", ") + &more
}

/// The corners of `areas`.
#[must_use]
pub(super) fn core_of(areas: &[&Area]) -> Vec<Point<f64>> {
    areas.iter().flat_map(|area| area.boundary.exterior_coords_iter()).map(Point).collect()
}

/// The frame of a detail map, for the site map.
pub(super) fn frame_item(window: &Window, number: usize) -> Item {
    let (low, high) = (window.frame.min(), window.frame.max());
    let corners = [low, Coord { x: high.x, y: low.y }, high, Coord { x: low.x, y: high.y }, low];
    let ring: Vec<Point<f64>> = corners.map(|corner| window.position(corner)).to_vec();
    let line = Line::new(number.to_string(), 7.5).weight(Weight::Bold);
    Item {
        sign: Sign::DetailFrame,
        words: "Frame of a detail map".to_owned(),
        shape: Shape::Polygons(MultiPolygon(vec![Polygon::new(ring.into(), Vec::new())])),
        bearing: None,
        label: Some(Label { named: Named::Detail, forms: vec![vec![line]] }),
    }
}
