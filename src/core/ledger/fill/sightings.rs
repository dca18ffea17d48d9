//! Wildlife seen in the period; nothing where no sighting was recorded.

use crate::{
    estimate::sightings,
    ledger::{Ledger, catalogue},
    project::Project,
};

pub(crate) fn enter(ledger: &mut Ledger, project: &Project) {
    if project.sightings.is_empty() {
        return;
    }
    ledger.enter_named(catalogue::SIGHTINGS.named([]), sightings::records(project));
    ledger.enter_named(catalogue::SIGHTED_SPECIES.named([]), sightings::species(project));
    // Only where there are any: a nought would be one more thing to read.
    for (series, count) in [
        (&catalogue::SIGHTINGS_WITHHELD, sightings::withheld(project)),
        (&catalogue::SIGHTINGS_UNPLACED, sightings::without_place(project)),
    ] {
        if count.as_ref().is_ok_and(|count| count.value.0 > 0) {
            ledger.enter_named(series.named([]), count);
        }
    }
}
