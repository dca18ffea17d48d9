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
    // Only where there are any: a nought would be one more thing to read.
    for (id, label, count) in [
        (
            "sightings.withheld",
            "Sensitive sightings in the period, their places withheld",
            sightings::withheld(project),
        ),
        (
            "sightings.without-place",
            "Other sightings in the period without a place",
            sightings::without_place(project),
        ),
    ] {
        if count.as_ref().is_ok_and(|count| count.value.0 > 0) {
            ledger.enter(FigureId::fixed(id), label, Unit::Count, count);
        }
    }
}
