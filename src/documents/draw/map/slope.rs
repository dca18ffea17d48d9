//! The slope map: how steep the ground is, class by class, with contours.

use std::sync::Arc;

use crate::draw::map::{
    backdrop::ThematicLayer,
    details,
    item::{Item, Label, Named, area_forms, fact, features},
    layout::Paper,
    locator::Locator,
    scheme::Scheme,
    sheet::{MapSpec, window_of},
    sign::{Sign, surface_fill},
    site::{core, core_of, grid_of, hectares, named},
};
use hillfolio_core::{
    ledger::{CellFigures, Ledger},
    project::{Area, FeatureKind, Project, Shape},
};

/// An area drawn smaller than this on the slope map, in mm, is shown on a map of its own too.
const READABLE_MM: f64 = 15.0;

/// The slope map, and maps of its parts where areas would be too small to read.
#[must_use]
pub(super) fn plans(project: &Project, ledger: &Ledger, cells: &CellFigures) -> Vec<MapSpec> {
    let whole = plan(project, ledger, cells);
    let Some((_, window)) = window_of(&whole, grid_of(project).as_ref()) else { return vec![] };
    let groups = details::groups(&project.areas, &window, READABLE_MM);
    let count = groups.len();
    let parts = groups.iter().zip(1..).map(|(group, number)| {
        let areas: Vec<&Area> = group.iter().filter_map(|at| project.areas.get(*at)).collect();
        MapSpec {
            name: format!("{}-{number}", whole.name),
            title: format!("Slope map, part {number} of {count}: {}", named(&areas)),
            core: core_of(&areas),
            locator: Locator::Among(project.areas.iter().map(|area| area.boundary.clone()).collect()),
            paper: Paper::Page,
            ..whole.clone()
        }
    });
    let parts: Vec<MapSpec> = parts.collect();
    std::iter::once(whole).chain(parts).collect()
}

fn plan(project: &Project, ledger: &Ledger, cells: &CellFigures) -> MapSpec {
    let ground = ThematicLayer {
        values: Arc::clone(&cells.slope),
        scheme: Scheme::slope(&cells.breaks),
        subject: "Slope",
        heights: project.ground.as_ref().map(|ground| Arc::clone(&ground.heights)),
        contours: true,
        within: None,
        heading: None,
    };
    let areas = project.areas.iter().map(|area| outlined(area, Some(ledger)));
    MapSpec {
        name: "slope-map".to_owned(),
        title: "Slope map".to_owned(),
        caption: "Slope of the ground by class, from the terrain model, shaded as if lit from the north-west; slopes between \
                  cell centres are interpolated. Classes begin at 12° and 15° by common practice, without a source. This is not \
                  a map of where it is safe to drive: follow the limit in your machine's own manual. Rough ground, wet grass, \
                  holes and loads lower every limit."
            .to_owned(),
        items: areas.chain(over_ground(project)).collect(),
        core: core(project),
        widens: false,
        grounds: vec![ground],
        relief: None,
        locator: Locator::Graticule,
        paper: Paper::Page,
    }
}

/// An area on coloured ground: its outline and its name, with its hectares where a ledger is given.
#[must_use]
pub(super) fn outlined(area: &Area, ledger: Option<&Ledger>) -> Item {
    let facts: Vec<_> = ledger.and_then(|ledger| hectares(area, ledger)).into_iter().map(fact).collect();
    Item {
        sign: Sign::Outlined,
        words: "Planting area".to_owned(),
        shape: Shape::Polygons(area.boundary.clone()),
        bearing: None,
        label: Some(Label { named: Named::Area, forms: area_forms(&area.id.0, &facts) }),
    }
}

/// The features that coloured ground shows: without their names, and without those that would hide it.
pub(super) fn over_ground(project: &Project) -> impl Iterator<Item = Item> {
    let shows = |item: &Item| match item.sign {
        Sign::Feature(_, FeatureKind::Water | FeatureKind::Building, _, _) => true,
        sign => !matches!(item.shape, Shape::Polygons(_)) || surface_fill(sign).colour == "none",
    };
    features(project).filter(shows).map(|item| Item { label: None, ..item })
}
