//! Wildlife seen in the period; nothing where no sighting was recorded.

use crate::{
    estimate::sightings,
    ledger::{FigureId, Ledger},
    project::Project,
    units::Unit,
};

pub(crate) fn enter(ledger: &mut Ledger, project: &Project) {
    if project.sightings.is_empty() {
        return;
    }
    let records = sightings::records(project);
    ledger.enter(
        FigureId::fixed("sightings.records"),
        "Sightings of wildlife in the period",
        Unit::Count,
        records,
    );
    let species = sightings::species(project);
    ledger.enter(
        FigureId::fixed("sightings.species"),
        "Kinds of wildlife seen in the period",
        Unit::Species,
        species,
    );
}
