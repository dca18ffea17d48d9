//! Maps, made for their true size on paper so that the printed scale holds.
//!
//! A map is a [`sheet::MapSpec`] of items, which [`sheet::compose`] fits to paper, draws and letters. `site` and `planting` say
//! what is on each map; `sign` says how everything on it looks, for the map and for its legend.

pub mod backdrop;
mod caption;
mod clip;
mod contour;
mod details;
mod erosion;
mod front;
pub mod furniture;
mod inked;
pub mod item;
pub mod layout;
mod legend;
mod lettering;
pub mod locator;
mod mesh;
mod paint;
pub mod patch;
pub mod placement;
mod planting;
pub mod printed;
mod row_numbers;
mod row_sheets;
mod rows;
mod sampled;
pub mod scale;
pub mod scheme;
mod season;
pub mod sheet;
pub mod sign;
mod site;
mod sites;
mod slope;
mod source_note;
mod spots;
pub mod ticks;
mod under;
mod wildlife;
pub mod window;

use rayon::prelude::*;

use crate::draw::Drawing;
use hillfolio_core::{ledger::Filled, plan::Plan, project::Project};

pub use front::front;
pub use sites::{Site, sites};
pub use window::Georeference;

/// Every map of a project with its labels and its legend: the site map, the planting map, the detail maps, the maps of slope and
/// of soil loss.
#[must_use]
pub fn sheets(project: &Project, filled: &Filled) -> Vec<sheet::Map> {
    let (ledger, cells) = (&filled.ledger, filled.cells.as_ref());
    let mut plans = site::plans(project, ledger);
    let at = plans.len().min(1);
    if let Some(planting) = planting::plan(project, ledger) {
        plans.insert(at, planting);
    }
    plans.extend(wildlife::plan(project, ledger));
    plans.extend(cells.map(|cells| slope::plans(project, ledger, cells)).unwrap_or_default());
    plans.extend(cells.and_then(|cells| erosion::plan(project, cells)));
    // Those with ground beneath them take longest and stand last: they are begun first.
    let mut maps: Vec<sheet::Map> =
        plans.par_iter().rev().filter_map(|plan| sheet::compose(project, plan)).collect();
    maps.reverse();
    maps
}

/// The site map for the wall, on A3, with everything on it that the site has, and where its frame lies on the ground; `None` where
/// nothing has a place.
#[must_use]
pub fn wall(project: &Project, filled: &Filled) -> Option<(Drawing, Option<Georeference>)> {
    let map = sheet::compose(project, &site::wall(project, &filled.ledger))?;
    let frame = map.faces.first()?.window.georeference();
    Some((map.drawing, frame))
}

/// Every map of a project.
#[must_use]
pub fn maps(project: &Project, filled: &Filled) -> Vec<Drawing> {
    sheets(project, filled).into_iter().map(|map| map.drawing).collect()
}

/// Maps of the rows of `plan` on `paper`, area by area.
#[must_use]
pub fn row_sheets(project: &Project, plan: &Plan, paper: layout::Paper) -> Vec<sheet::Map> {
    let plans = rows::plans(project, plan, paper);
    let composed = plans.par_iter().filter_map(|(plan, alt)| {
        let mut map = sheet::compose(project, plan)?;
        map.drawing.alt = format!("{alt} At {}.", map.faces.first()?.window.scale.printed());
        Some(map)
    });
    composed.collect()
}
