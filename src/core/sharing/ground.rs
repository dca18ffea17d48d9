//! Whose ground an area is: one reports it, others may support it.

use crate::{
    geometry,
    project::{Area, AreaId, Payer, Project},
    units::Hectares,
};

/// Who reports `area`: the first agreement that names it, else the only one that pays for all ground, else the landholder.
#[must_use]
pub fn owner_of(project: &Project, area: &AreaId) -> Payer {
    let names = |agreement: &&crate::project::Agreement| {
        agreement.areas.as_ref().is_some_and(|areas| areas.contains(area))
    };
    let everywhere = || {
        let mut all = project.agreements.iter().filter(|agreement| agreement.areas.is_none());
        all.next().filter(|_| all.next().is_none())
    };
    let owner = project.agreements.iter().find(names).or_else(everywhere);
    owner.map_or(Payer::Own, |agreement| Payer::Agreement(agreement.id.clone()))
}

/// Plan hectares of the ground that `payer` reports. Ground that overlaps is counted under each name: checks tell of it.
#[must_use]
pub fn hectares_of(project: &Project, payer: &Payer) -> Hectares {
    let owned = project.areas.iter().filter(|area| owner_of(project, &area.id) == *payer);
    Hectares(owned.map(hectares).sum())
}

/// Plan hectares of one area.
pub(crate) fn hectares(area: &Area) -> f64 {
    geometry::area(&area.boundary).0 / 10_000.0
}
