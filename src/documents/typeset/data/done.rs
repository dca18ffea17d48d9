//! What was done: areas planted, features made, works and hours.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{
        places::or_site,
        printed::{self, Printed},
    },
};
use hillfolio_core::{
    ledger::catalogue,
    project::{AreaId, Basis, Standing, slug},
};

/// What was done in the period.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Done {
    areas: Vec<AreaRow>,
    all: AreaRow,
    features: Vec<Printed>,
    works: Vec<WorkRow>,
    hours: Vec<HoursRow>,
    slopes: Vec<Printed>,
}

/// One planting area.
#[derive(Serialize, JsonSchema)]
struct AreaRow {
    name: String,
    hectares: Printed,
    stems_in_period: Printed,
    stems: Printed,
    species: Printed,
    planted: String,
}

/// One task of the works log.
#[derive(Serialize, JsonSchema)]
struct WorkRow {
    task: String,
    quantity: Printed,
    /// What another account makes of the quantity.
    beside: Option<String>,
    days: String,
    areas: String,
}

/// Hours on one basis.
#[derive(Serialize, JsonSchema)]
struct HoursRow {
    basis: &'static str,
    hours: Printed,
}

impl Done {
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> Done {
        let (project, ledger) = (inputs.project, inputs.ledger);
        let area = |name: &str, days: Vec<NaiveDate>| AreaRow {
            name: name.to_owned(),
            hectares: Printed::about(ledger, &catalogue::AREA, name),
            stems_in_period: Printed::about(ledger, &catalogue::STEMS_IN_PERIOD, name),
            stems: Printed::about(ledger, &catalogue::STEMS, name),
            species: Printed::about(ledger, &catalogue::SPECIES_COUNT, name),
            planted: span(days),
        };
        let mut planted: BTreeMap<&AreaId, Vec<NaiveDate>> = BTreeMap::new();
        for planting in project.plantings_to_date() {
            planted.entry(&planting.area).or_default().push(planting.date);
        }
        let areas =
            project.areas.iter().map(|one| area(&one.id.0, planted.remove(&one.id).unwrap_or_default()));
        Done {
            areas: areas.collect(),
            all: area("all", project.plantings_to_date().map(|planting| planting.date).collect()),
            features: printed::each(ledger, &catalogue::LENGTH)
                .filter(|(codes, _)| codes[1] == Standing::New.word())
                .map(|(_, length)| length)
                .chain(printed::under(ledger, &catalogue::LENGTH_IN_PERIOD))
                .collect(),
            works: works(inputs),
            hours: Basis::ALL
                .into_iter()
                .filter_map(|basis| {
                    let hours = Printed::find(ledger, &catalogue::HOURS.id(&[basis.words()]))?;
                    Some(HoursRow { basis: basis.words(), hours })
                })
                .collect(),
            slopes: printed::under(ledger, &catalogue::SLOPE_MEAN),
        }
    }
}

/// Tasks as they are written in the log, in order of first day; one task may be written in two ways.
fn works(inputs: &ReportInputs<'_>) -> Vec<WorkRow> {
    let mut tasks: BTreeMap<String, (String, Vec<NaiveDate>, Vec<String>)> = BTreeMap::new();
    for work in inputs.project.works.iter().filter(|work| inputs.project.period.holds(work.date)) {
        let task = tasks.entry(slug(&work.task)).or_insert_with(|| (work.task.clone(), vec![], vec![]));
        task.1.push(work.date);
        task.2.push(or_site(work.area.as_ref()));
    }
    let mut tasks: Vec<_> = tasks.into_values().collect();
    tasks.sort_by_key(|(_, days, _)| days.iter().min().copied());
    tasks
        .into_iter()
        .map(|(task, days, areas)| WorkRow {
            quantity: Printed::about(inputs.ledger, &catalogue::QUANTITY, &task)
                .or_because("no quantity was written down"),
            beside: inputs.ledger.other_account(catalogue::QUANTITY.id(&[&slug(&task)]).as_str()),
            days: span(days),
            areas: printed::distinct(areas.iter().map(String::as_str)),
            task,
        })
        .collect()
}

/// First and last of some days.
fn span(days: Vec<NaiveDate>) -> String {
    match (days.iter().min(), days.iter().max()) {
        (Some(first), Some(last)) => printed::short_span(*first, *last),
        _ => String::new(),
    }
}
