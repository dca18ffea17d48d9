//! Survey after survey: what each round found, what changed, how long tagged stems live, what the next survey needs.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{
        places::areas_and_all,
        printed::{self, Printed, each},
    },
};
use hillfolio_core::{
    ledger::{Series, catalogue},
    units::whole,
};

/// The rounds of survey.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Monitoring {
    rounds: Vec<Round>,
    areas: Vec<AreaSeries>,
    tagged: Vec<Lived>,
    next: Vec<Next>,
}

/// What one round found in all areas.
#[derive(Serialize, JsonSchema)]
struct Round {
    date: String,
    plots: Printed,
    survival: Printed,
    change: Option<Printed>,
    density: Printed,
    recruits: Printed,
}

/// One area from round to round.
#[derive(Serialize, JsonSchema)]
struct AreaSeries {
    area: String,
    rows: Vec<AreaRound>,
}

#[derive(Serialize, JsonSchema)]
struct AreaRound {
    date: String,
    survival: Printed,
    density: Printed,
}

/// Tagged stems that lived so long.
#[derive(Serialize, JsonSchema)]
struct Lived {
    days: String,
    share: Printed,
    /// Stems that the share rests on.
    at_risk: Printed,
}

/// How near this survey came in one area, and what the next one needs.
#[derive(Serialize, JsonSchema)]
struct Next {
    area: String,
    survival: Printed,
    plots_for_survival: Printed,
    density: Printed,
    plots_for_density: Printed,
}

impl Monitoring {
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> Monitoring {
        let (project, ledger) = (inputs.project, inputs.ledger);
        let rounds = ledger.rounds(&catalogue::SURVIVAL.whole());
        let days: Vec<NaiveDate> = rounds.into_iter().map(|(day, _)| day).collect();
        let at = |series: &Series, day: &NaiveDate, area: &str| {
            Printed::of(ledger, &series.id(&[&day.to_string(), area]))
        };
        let round = |day: &NaiveDate| Round {
            date: printed::short_day(*day),
            plots: at(&catalogue::PLOTS_VISITED, day, "all"),
            survival: at(&catalogue::SURVIVAL_AT, day, "all"),
            change: Printed::find(ledger, &catalogue::SURVIVAL_CHANGE.whole_of(&[&day.to_string()])),
            density: at(&catalogue::DENSITY_AT, day, "all"),
            recruits: at(&catalogue::RECRUITS_AT, day, "all"),
        };
        let series = |name: &str| AreaSeries {
            area: name.to_owned(),
            rows: days
                .iter()
                .map(|day| AreaRound {
                    date: printed::short_day(*day),
                    survival: at(&catalogue::SURVIVAL_AT, day, name),
                    density: at(&catalogue::DENSITY_AT, day, name),
                })
                .collect(),
        };
        let next = |(area, name): (String, &str)| Next {
            area,
            survival: Printed::about(ledger, &catalogue::SURVIVAL_PRECISION, name),
            plots_for_survival: Printed::about(ledger, &catalogue::SURVIVAL_PLOTS_NEEDED, name),
            density: Printed::about(ledger, &catalogue::DENSITY_PRECISION, name),
            plots_for_density: Printed::about(ledger, &catalogue::DENSITY_PLOTS_NEEDED, name),
        };
        let surveyed = |(_, name): &(String, &str)| {
            ledger.get(catalogue::SURVIVAL_PLOTS_NEEDED.id(&[name]).as_str()).is_some()
        };
        Monitoring {
            rounds: days.iter().map(round).collect(),
            areas: if days.len() > 1 {
                project.areas.iter().map(|area| series(&area.id.0)).collect()
            } else {
                Vec::new()
            },
            tagged: tagged(inputs),
            next: areas_and_all(inputs).filter(surveyed).map(next).collect(),
        }
    }
}

/// Shares of tagged stems alive, by time since they were first seen.
fn tagged(inputs: &ReportInputs<'_>) -> Vec<Lived> {
    let days = |code: &str| code.strip_suffix("-days")?.parse::<u32>().ok();
    let mut lived: Vec<(u32, Printed)> = each(inputs.ledger, &catalogue::TAGGED_SURVIVAL)
        .filter(|(codes, _)| codes[1] == "all")
        .filter_map(|(codes, share)| Some((days(codes[0])?, share)))
        .collect();
    lived.sort_by_key(|(days, _)| *days);
    let at_risk = |days: u32| {
        Printed::of(inputs.ledger, &catalogue::TAGGED_AT_RISK.whole_of(&[&format!("{days}-days")]))
    };
    lived
        .into_iter()
        .map(|(days, share)| Lived { days: whole(days.into()), share, at_risk: at_risk(days) })
        .collect()
}
