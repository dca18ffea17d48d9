//! The survey: survival, density, recruits, heights and cover.

use chrono::NaiveDate;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{
        ground_cover::{self, GroundCover},
        printed::{self, Printed, under},
    },
};
use hillfolio_core::ledger::FigureId;

/// What the survey shows.
#[derive(Serialize)]
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
#[derive(Serialize)]
struct AreaRow {
    name: String,
    survival: Printed,
    other_bound: Printed,
    density: Printed,
    recruits: Printed,
}

/// One year of planting.
#[derive(Serialize)]
struct CohortRow {
    year: String,
    survival: Printed,
}

/// The heights of one species.
#[derive(Serialize)]
struct HeightRow {
    species: String,
    height: Printed,
}

impl Survival {
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> Survival {
        let (project, ledger) = (inputs.project, inputs.ledger);
        let row = |name: &str| AreaRow {
            name: name.to_owned(),
            survival: Printed::about(ledger, "survival", name),
            other_bound: Printed::about(ledger, "survival.bound-all-missing-alive", name),
            density: Printed::about(ledger, "density", name),
            recruits: Printed::about(ledger, "recruits", name),
        };
        let counted = project.tallies.iter().filter(|tally| tally.date <= project.period.to);
        let (mut days, mut plots): (Vec<NaiveDate>, Vec<&str>) =
            counted.map(|tally| (tally.date, &*tally.plot.0)).unzip();
        days.sort_unstable();
        plots.sort_unstable();
        plots.dedup();
        let planted = project.species.iter().filter_map(|species| {
            let height = Printed::find(ledger, FigureId::of("height.median", &species.id.0).as_str())?;
            Some(HeightRow { species: species.id.to_string(), height })
        });
        Survival {
            by_area: project.areas.iter().map(|area| row(&area.id.0)).collect(),
            all: row("all"),
            by_cohort: under(ledger, "survival.cohort")
                .into_iter()
                .map(|survival| CohortRow {
                    year: survival.id.rsplit('.').next().unwrap_or_default().to_owned(),
                    survival,
                })
                .collect(),
            heights: planted.filter(|row| row.height.text.is_some()).collect(),
            cover: ground_cover::covers(inputs),
            visits: match (days.first(), days.last()) {
                (Some(first), Some(last)) if first == last => printed::day(*first),
                (Some(first), Some(last)) => format!("{} to {}", printed::day(*first), printed::day(*last)),
                _ => String::new(),
            },
            plots: plots.len(),
        }
    }
}
