//! Work planned for the year to come.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{places::or_site, printed},
};
use hillfolio_core::{project::PlannedWork, units::as_written};

/// One piece of planned work.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Planned {
    when: String,
    task: String,
    area: String,
    quantity: String,
    who: String,
    note: Option<String>,
}

impl Planned {
    /// Everything that is planned, by day.
    pub(crate) fn all(inputs: &ReportInputs<'_>) -> Vec<Planned> {
        inputs.project.programme.iter().map(planned).collect()
    }
}

fn planned(work: &PlannedWork) -> Planned {
    let quantity = work
        .quantity
        .map(|quantity| format!("{} {}", as_written(quantity), work.unit.as_deref().unwrap_or_default()));
    Planned {
        when: printed::short_span(work.from, work.to.unwrap_or(work.from)),
        task: work.task.clone(),
        area: or_site(work.area.as_ref()),
        quantity: quantity.unwrap_or_default().trim().to_owned(),
        who: work.who.clone().unwrap_or_default(),
        note: work.note.clone(),
    }
}
