//! The survey: survival, density, recruits, heights and cover.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{
        ends::Ends,
        ground_cover::{self, GroundCover},
        printed::{Printed, each},
    },
};
use hillfolio_core::{estimate::visit, ledger::catalogue, units::span};

/// What the survey shows.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Survival {
    by_area: Vec<AreaRow>,
    all: AreaRow,
    by_cohort: Vec<CohortRow>,
    heights: Vec<HeightRow>,
    cover: Vec<GroundCover>,
    /// The days of the visits and how many plots were visited.
    visits: String,
    plots: usize,
}

/// One area in the survey.
#[derive(Serialize, JsonSchema)]
struct AreaRow {
    name: String,
    survival: Printed,
    /// Where the share alive and its interval lie from 0 to 1.
    alive: Option<Ends>,
    other_bound: Printed,
    density: Printed,
    recruits: Printed,
}

/// One year of planting.
#[derive(Serialize, JsonSchema)]
struct CohortRow {
    year: String,
    survival: Printed,
    alive: Option<Ends>,
}

/// The heights of one species.
#[derive(Serialize, JsonSchema)]
struct HeightRow {
    species: String,
    height: Printed,
}

impl Survival {
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> Survival {
        let (project, ledger) = (inputs.project, inputs.ledger);
        let row = |name: &str| AreaRow {
            name: name.to_owned(),
            survival: Printed::about(ledger, &catalogue::SURVIVAL, name),
            alive: Ends::of_share(ledger, &catalogue::SURVIVAL.id(&[name])),
            other_bound: Printed::about(ledger, &catalogue::SURVIVAL_BOUND, name),
            density: Printed::about(ledger, &catalogue::DENSITY, name),
            recruits: Printed::about(ledger, &catalogue::RECRUITS, name),
        };
        let latest = visit::rounds(project).pop();
        let planted = project.species.iter().filter_map(|species| {
            let height = Printed::find(ledger, &catalogue::HEIGHT.id(&[&species.id.0]))?;
            Some(HeightRow { species: species.id.to_string(), height })
        });
        Survival {
            by_area: project.areas.iter().map(|area| row(&area.id.0)).collect(),
            all: row("all"),
            by_cohort: each(ledger, &catalogue::COHORT_SURVIVAL)
                .map(|(year, survival)| CohortRow {
                    alive: Ends::of_share(ledger, &catalogue::COHORT_SURVIVAL.id(&year)),
                    year: year.concat(),
                    survival,
                })
                .collect(),
            heights: planted.filter(|row| row.height.text.is_some()).collect(),
            cover: ground_cover::covers(inputs),
            visits: latest.as_ref().map_or_else(String::new, |round| span(round.days.from, round.days.to)),
            plots: latest.map_or(0, |round| round.visits.len()),
        }
    }
}
