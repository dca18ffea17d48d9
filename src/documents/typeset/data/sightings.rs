//! Wildlife seen; of a sensitive sighting neither place nor note is known here.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::printed::{self, Printed},
};
use hillfolio_core::ledger::catalogue;

/// The wildlife of the period.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Wildlife {
    rows: Vec<Seen>,
    withheld: Option<Printed>,
}

/// One sighting.
#[derive(Serialize, JsonSchema)]
struct Seen {
    date: String,
    species: String,
    count: String,
    area: String,
    note: Option<String>,
}

impl Wildlife {
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> Wildlife {
        Wildlife {
            rows: Seen::all(inputs),
            withheld: Printed::find(inputs.ledger, &catalogue::SIGHTINGS_WITHHELD.whole()),
        }
    }
}

impl Seen {
    /// What was seen in the period, by day.
    fn all(inputs: &ReportInputs<'_>) -> Vec<Seen> {
        let project = inputs.project;
        let mut seen: Vec<_> =
            project.sightings.iter().filter(|sighting| project.period.holds(sighting.date)).collect();
        seen.sort_by_key(|sighting| sighting.date);
        let one = |sighting: &hillfolio_core::project::Sighting| Seen {
            date: printed::short_day(sighting.date),
            species: sighting.species.clone(),
            count: sighting.count.map(|count| hillfolio_core::units::whole(count.0)).unwrap_or_default(),
            area: match (&sighting.area, sighting.sensitive) {
                (_, true) => "withheld".to_owned(),
                (Some(area), false) => area.to_string(),
                (None, false) => String::new(),
            },
            note: sighting.note.clone(),
        };
        seen.into_iter().map(one).collect()
    }
}
