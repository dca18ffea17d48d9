//! Triggers for action, and what was done about what went wrong.

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
    ledger::{Judged, value_text},
    project::{Action, Bound},
};

/// Triggers and actions.
#[derive(Serialize, JsonSchema, Default)]
pub(crate) struct Actions {
    triggers: Vec<Trigger>,
    rows: Vec<Row>,
}

/// One target that has a trigger.
#[derive(Serialize, JsonSchema)]
struct Trigger {
    words: String,
    at: String,
    figure: Printed,
    passed: &'static str,
    response: Option<String>,
}

/// One action.
#[derive(Serialize, JsonSchema)]
struct Row {
    date: String,
    occasion: &'static str,
    what: String,
    area: String,
    /// Cause, consequence, response and effect, each with its name.
    told: Vec<(&'static str, String)>,
    notified: String,
    done: String,
}

impl Actions {
    /// The triggers of the targets, and what was done by the end of the period.
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> Actions {
        let project = inputs.project;
        let by_the_end = project.actions.iter().filter(|action| action.date <= project.period.to);
        Actions {
            triggers: inputs.ledger.targets.iter().filter_map(|judged| trigger(inputs, judged)).collect(),
            rows: by_the_end.map(row).collect(),
        }
    }
}

fn trigger(inputs: &ReportInputs<'_>, judged: &Judged) -> Option<Trigger> {
    let trigger = judged.target.trigger.as_ref()?;
    let figure = Printed::of(inputs.ledger, &judged.figure);
    let side = match judged.target.bound {
        Bound::AtLeast(_) => "below",
        Bound::AtMost(_) => "above",
    };
    let known = inputs.ledger.figure(judged.figure.as_str());
    let at = known.map_or_else(|| trigger.at.to_string(), |figure| value_text(trigger.at, &figure.unit));
    Some(Trigger {
        words: judged.target.words.clone().unwrap_or_else(|| figure.label.clone()),
        at: format!("{side} {at}"),
        passed: match judged.triggered {
            Some(true) => "passed: act",
            Some(false) => "not passed",
            None => "not measured",
        },
        figure,
        response: trigger.response.clone(),
    })
}

fn row(action: &Action) -> Row {
    let told = [
        ("Cause", &action.cause),
        ("Consequence", &action.consequence),
        ("Response", &action.response),
        ("Effect", &action.effect),
    ];
    Row {
        date: printed::short_day(action.date),
        occasion: action.occasion.words(),
        what: action.what.clone(),
        area: or_site(action.area.as_ref()),
        told: told.into_iter().filter_map(|(name, says)| Some((name, says.clone()?))).collect(),
        notified: action.notified.map(printed::short_day).unwrap_or_default(),
        done: action.done.map_or_else(|| "open".to_owned(), printed::short_day),
    }
}
