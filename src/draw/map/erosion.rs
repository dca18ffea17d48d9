//! The map of soil loss: before the work and now, side by side on one scale.

use geo::MultiPolygon;

use crate::{
    draw::map::{
        backdrop::Ground,
        locator::Locator,
        scheme::Scheme,
        sheet::Plan,
        site::core,
        slope::{outlined, over_ground},
    },
    ledger::Ledger,
    project::Project,
    terrain::Raster,
};

/// The map of soil loss; `None` where it is not known by cells.
#[must_use]
pub(super) fn plan<'a>(project: &'a Project, ledger: &'a Ledger) -> Option<Plan<'a>> {
    let loss = ledger.cells.as_ref()?.loss.as_ref()?;
    let areas: MultiPolygon<f64> = project.areas.iter().flat_map(|area| area.boundary.0.clone()).collect();
    let ground = |values: &'a Raster<f32>, heading| Ground {
        values,
        scheme: Scheme::loss(),
        subject: "Soil loss",
        heights: project.ground.as_ref().map(|ground| &ground.heights),
        contours: false,
        within: Some(areas.clone()),
        heading: Some(heading),
    };
    let items = project.areas.iter().map(|area| outlined(area, None)).chain(over_ground(project));
    Some(Plan {
        name: "soil-loss-map".to_owned(),
        title: "Soil loss before and now".to_owned(),
        caption: "Soil lost in a year by sheet and rill erosion only, in tonnes from a plan hectare, t/(ha.yr), as a long-run \
                  mean: under the cover before the work began, and under that of the latest survey. Both maps have one scale \
                  of classes. Gullies, slips, stream banks and tracks are not in it. Ground without colour inside an area has \
                  no figure. Differences between neighbouring cells come from slope and slope length alone: cover is one \
                  figure an area."
            .to_owned(),
        items: items.collect(),
        core: core(project),
        widens: false,
        grounds: vec![ground(&loss.before, "Before"), ground(&loss.now, "Now")],
        locator: Locator::Graticule,
    })
}
