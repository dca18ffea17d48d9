//! The map of soil loss: before the work and now on one sheet and one scale.

use std::sync::Arc;

use geo::MultiPolygon;

use crate::draw::map::{
    backdrop::ThematicLayer,
    layout::Paper,
    locator::Locator,
    scheme::Scheme,
    sheet::MapSpec,
    sign::Sign,
    site::core,
    slope::{outlined, over_ground},
};
use hillfolio_core::{
    ledger::CellFigures,
    project::{FeatureKind, Project},
    terrain::Raster,
};

/// What a caption says of every map of soil loss.
const READ_IT: &str = "Gullies, slips, stream banks and tracks are not in it. Ground without colour inside an area has no figure. \
                       Differences between neighbouring cells come from slope and slope length alone: cover is one figure an area.";

/// The map of soil loss, two maps where both states are known; `None` where neither is known by cells.
#[must_use]
pub(super) fn plan(project: &Project, cells: &CellFigures) -> Option<MapSpec> {
    let loss = cells.loss.as_ref()?;
    let areas: MultiPolygon<f64> = project.areas.iter().flat_map(|area| area.boundary.0.clone()).collect();
    let ground = |values: &Arc<Raster<f32>>| ThematicLayer {
        values: Arc::clone(values),
        scheme: Scheme::loss(),
        subject: "Soil loss",
        heights: project.ground.as_ref().map(|ground| Arc::clone(&ground.heights)),
        contours: false,
        within: Some(areas.clone()),
        heading: None,
    };
    let named = |values, heading| ThematicLayer { heading: Some(heading), ..ground(values) };
    let unit = "in tonnes from a plan hectare, t/(ha.yr), as a long-run mean";
    let (title, grounds, states) = match (loss.before.known() > 0.0, loss.now.known() > 0.0) {
        (true, true) => (
            "Soil loss before and now",
            vec![named(&loss.before, "Before"), named(&loss.now, "Now")],
            "under the cover before the work began, and under that of the latest survey. Both maps have one scale of classes",
        ),
        (true, false) => {
            ("Soil loss before the work", vec![ground(&loss.before)], "under the cover before the work began")
        }
        (false, true) => ("Soil loss now", vec![ground(&loss.now)], "under the cover of the latest survey"),
        (false, false) => return None,
    };
    let features = over_ground(project).filter(|item| leads_water(item.sign));
    Some(MapSpec {
        name: "soil-loss-map".to_owned(),
        title: title.to_owned(),
        caption: format!("Soil lost in a year by sheet and rill erosion only, {unit}: {states}. {READ_IT}"),
        items: project.areas.iter().map(|area| outlined(area, None)).chain(features).collect(),
        core: core(project),
        widens: false,
        grounds,
        relief: None,
        locator: Locator::Graticule,
        paper: Paper::Page,
    })
}

/// Whether a feature ends a slope or tells of water: the others would only stand in the way.
fn leads_water(sign: Sign) -> bool {
    use FeatureKind as Kind;
    matches!(
        sign,
        Sign::Feature(
            _,
            Kind::Water | Kind::Watercourse | Kind::Gully | Kind::Slip | Kind::Track | Kind::Road,
            _,
            _
        )
    )
}
