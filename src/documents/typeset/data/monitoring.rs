//! Survey after survey: what each round found, what changed, how long tagged stems live, what the next survey needs.

use chrono::NaiveDate;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{
        places::areas_and_all,
        printed::{self, Printed, under},
    },
};
use hillfolio_core::{ledger::FigureId, units::whole};

/// The rounds of survey.
#[derive(Serialize)]
pub(crate) struct Monitoring {
    rounds: Vec<Round>,
    areas: Vec<AreaSeries>,
    tagged: Vec<Lived>,
    next: Vec<Next>,
}

/// What one round found in all areas.
#[derive(Serialize)]
struct Round {
    date: String,
    plots: Printed,
    survival: Printed,
    change: Option<Printed>,
    density: Printed,
    recruits: Printed,
}

/// One area from round to round.
#[derive(Serialize)]
struct AreaSeries {
    area: String,
    rows: Vec<AreaRound>,
}

#[derive(Serialize)]
struct AreaRound {
    date: String,
    survival: Printed,
    density: Printed,
}

/// Tagged stems that lived so long.
#[derive(Serialize)]
struct Lived {
    days: String,
    share: Printed,
    /// Stems that the share rests on.
    at_risk: Printed,
}

/// How near this survey came in one area, and what the next one needs.
#[derive(Serialize)]
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
        let rounds = ledger.rounds(&FigureId::fixed("survival.all"));
        let days: Vec<NaiveDate> = rounds.into_iter().map(|(day, _)| day).collect();
        let at = |stem: &str, day: &NaiveDate, area: &str| {
            Printed::about(ledger, &format!("{stem}.at.{day}"), area)
        };
        let round = |day: &NaiveDate| Round {
            date: printed::short_day(*day),
            plots: at("survey.plots", day, "all"),
            survival: at("survival", day, "all"),
            change: Printed::find(ledger, &format!("survival.change.{day}.all")),
            density: at("density", day, "all"),
            recruits: at("recruits", day, "all"),
        };
        let series = |name: &str| AreaSeries {
            area: name.to_owned(),
            rows: days
                .iter()
                .map(|day| AreaRound {
                    date: printed::short_day(*day),
                    survival: at("survival", day, name),
                    density: at("density", day, name),
                })
                .collect(),
        };
        let next = |(area, name): (String, &str)| Next {
            area,
            survival: Printed::about(ledger, "survey.precision.survival", name),
            plots_for_survival: Printed::about(ledger, "survey.plots-needed.survival", name),
            density: Printed::about(ledger, "survey.precision.density", name),
            plots_for_density: Printed::about(ledger, "survey.plots-needed.density", name),
        };
        let surveyed = |(_, name): &(String, &str)| {
            ledger.get(FigureId::of("survey.plots-needed.survival", name).as_str()).is_some()
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
    let days = |id: &str| id.strip_prefix("survival.tagged.")?.strip_suffix("-days.all")?.parse::<u32>().ok();
    let mut lived: Vec<(u32, Printed)> = under(inputs.ledger, "survival.tagged")
        .into_iter()
        .filter_map(|share| Some((days(&share.id)?, share)))
        .collect();
    lived.sort_by_key(|(days, _)| *days);
    let at_risk = |days: u32| Printed::about(inputs.ledger, &format!("survival.at-risk.{days}-days"), "all");
    lived
        .into_iter()
        .map(|(days, share)| Lived { days: whole(days.into()), share, at_risk: at_risk(days) })
        .collect()
}
