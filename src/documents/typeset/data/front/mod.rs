//! The first two pages: in plain words what was promised, done, alive and spent; what is doubtful, what comes next, what is to be
//! decided.

mod doubled;
mod doubts;
mod told;

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::{
    draw::svg::Markup,
    typeset::{
        Document, ReportInputs,
        data::{
            approval,
            drawings::Picture,
            money::unexplained,
            photos::PhotoPoints,
            printed::{self, Printed},
            targets,
        },
    },
};
use doubts::{Doubts, doubts};
use hillfolio_core::{
    ledger::{Judged, Ledger, Standing, catalogue},
    problem,
    project::{Compliance, Project},
    units::{Unit, number, whole},
};
use told::{joined, sentences, spelled};

/// Entries of each list of the second page at the most.
const MOST_LISTED: usize = 5;

/// What the first two pages hold beside the tables of promises and of money.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Front {
    /// How it went, a sentence each.
    sentences: Vec<String>,
    /// The small map.
    map: Option<Picture>,
    /// Which pair of pictures stands beside it.
    pair: Option<usize>,
    /// What could change an answer, the weightiest first.
    doubts: Vec<String>,
    /// Further doubts, which the workings have.
    more_doubts: Option<String>,
    /// The daggers of the figures that the doubts are about, by id.
    daggers: BTreeMap<String, String>,
    /// The daggers of the doubts that a target's verdict turns on, by the target's id.
    turns: BTreeMap<String, String>,
    /// What comes next, by day.
    next: Vec<Next>,
    /// What the reader has to decide.
    decisions: Vec<String>,
}

/// Something to come.
#[derive(Serialize, JsonSchema)]
struct Next {
    when: String,
    what: String,
}

impl Front {
    pub(crate) fn of(inputs: &ReportInputs<'_>, document: Document) -> Front {
        let judged: Vec<&Judged> = targets::judged(inputs, document).collect();
        let Doubts { says, daggers, turns, doubled } = doubts(inputs, &judged);
        let more = problem::doubts(inputs.problems).len().saturating_sub(says.len());
        Front {
            sentences: sentences(inputs, document, &judged, &daggers),
            map: inputs.sheets.front.as_ref().map(|map| Picture::of("front", 0, map)),
            pair: PhotoPoints::of(inputs).telling(),
            doubts: says,
            more_doubts: (more > 0).then(|| whole(more as u64)),
            daggers,
            next: next(inputs, &judged),
            decisions: decisions(inputs, document, &judged, doubled, &turns),
            turns,
        }
    }
}

/// The small map by its key.
pub(crate) fn drawing(inputs: &ReportInputs<'_>) -> Option<(String, Markup)> {
    inputs.sheets.front.as_ref().map(|map| ("front-0".to_owned(), map.svg.clone()))
}

/// Targets still to come, work that is planned, and what the next survey needs.
fn next(inputs: &ReportInputs<'_>, judged: &[&Judged]) -> Vec<Next> {
    let later = judged.iter().filter(|one| one.standing == Standing::NotDue).filter_map(|one| {
        let figure = Printed::of(inputs.ledger, &one.figure);
        let words = one.target.words.clone().unwrap_or(figure.label);
        let outlook = one.outlook.as_ref().map(|(_, outlook)| format!(": {}", outlook.words()));
        Some((one.target.by?, format!("{words}{}", outlook.unwrap_or_default())))
    });
    let planned = inputs.project.programme.iter().map(|work| {
        let area = work.area.as_ref().map(|area| format!(", {area}")).unwrap_or_default();
        (work.from, format!("{}{area}", work.task))
    });
    let open = inputs.project.actions.iter().filter(|action| action.done.is_none());
    let open = open.filter(|action| action.date <= inputs.project.period.to);
    let open = open.map(|action| (action.date, format!("still open: {}", action.what)));
    let mut coming: Vec<_> = planned.chain(later).chain(open).collect();
    coming.sort();
    let left = coming.len().saturating_sub(MOST_LISTED);
    let mut listed: Vec<Next> = coming
        .into_iter()
        .take(MOST_LISTED)
        .map(|(day, what)| Next { when: printed::short_day(day), what })
        .collect();
    if left > 0 {
        listed.push(Next { when: String::new(), what: format!("and {} more, further on", spelled(left)) });
    }
    let needed = inputs.ledger.figure(catalogue::SURVIVAL_PLOTS_NEEDED.whole().as_str());
    listed.extend(needed.map(|figure| Next {
        when: "next survey".to_owned(),
        what: format!("{} plots, to know the share alive within ten points", figure.number_text()),
    }));
    listed
}

/// What the reader has to decide.
fn decisions(
    inputs: &ReportInputs<'_>,
    document: Document,
    judged: &[&Judged],
    mut doubled: Vec<String>,
    turns: &BTreeMap<String, String>,
) -> Vec<String> {
    let ledger = inputs.ledger;
    let mut decisions = Vec::new();
    let mut told = Vec::new();
    if document == Document::Acquittal {
        // What turns on a payment that is to be decided on is decided with it.
        for one in judged.iter().filter(|one| one.standing == Standing::NotMet) {
            let Some(marks) = turns.get(&one.target.id) else { continue };
            let payment = doubled.iter_mut().find(|payment| payment.contains(&format!("({marks})")));
            if let (Some(payment), Some(words)) = (payment, &one.target.words) {
                *payment =
                    format!("{}; on it turns whether “{words}” is met.", payment.trim_end_matches('.'));
                told.push(&one.target.id);
            }
        }
        decisions.extend(doubled);
        decisions.extend(unspent(ledger, inputs.project));
        let lines = unexplained(inputs);
        if !lines.is_empty() {
            decisions.push(format!("Whether the reason is accepted, once given, for {}.", joined(&lines)));
        }
    }
    if approval::stand_in(inputs, document) {
        let broken = inputs.project.commitments.iter();
        let broken = broken.filter(|one| one.status == Some(Compliance::NonCompliant));
        decisions.extend(broken.map(|one| {
            let clause = one.clause.iter().map(|clause| format!(" ({clause})"));
            let clause: String = clause.collect();
            format!("What follows from number {}{clause}, “{}”, which is not kept.", one.number, one.words)
        }));
    }
    let mut open = judged.iter().filter_map(|one| {
        let figure = Printed::of(ledger, &one.figure);
        let words = one.target.words.clone().unwrap_or(figure.label);
        match one.standing {
            Standing::NotMet if told.contains(&&one.target.id) => None,
            Standing::NotMet => Some(match turns.get(&one.target.id) {
                Some(marks) => format!("Whether {marks} is so: on it turns whether “{words}” is met."),
                None => format!("What follows from “{words}”, which is not met."),
            }),
            Standing::NotShown => Some(format!("Whether “{words}” is to be counted again: it is not shown.")),
            Standing::NotMeasured => {
                Some(format!("How “{words}” is to be shown: it was not measured ({}).", one.because))
            }
            _ => None,
        }
    });
    decisions.extend(open.by_ref().take(MOST_LISTED));
    match open.count() {
        0 => {}
        more => decisions.push(format!("{} more targets stand alike in the table before.", spelled(more))),
    }
    decisions
}

/// What is to happen with money that is left or lacking, by the agreement's own dates and instalments.
fn unspent(ledger: &Ledger, project: &Project) -> Option<String> {
    let figure = ledger.figure(catalogue::UNSPENT.whole().as_str())?;
    let Unit::Currency(currency) = &figure.unit else { return None };
    // Cents stand in the tables; of a small sum they are part of what is decided.
    let said = |sum: f64| {
        let digits = if sum.abs() < 100.0 { 2 } else { 0 };
        format!("{currency}\u{a0}{}", number(sum.abs(), digits))
    };
    let until = project.period.to;
    let agreement = project.only_agreement();
    let to_come = ledger.figure(catalogue::TO_COME.whole().as_str()).map_or(0.0, |figure| figure.value);
    match figure.value {
        left if left >= 0.005 => match agreement {
            // While the term runs, what is left is there to be spent.
            Some(one) if !one.has_ended(until) => None,
            Some(one) if one.has_ended(until) => Some(format!(
                "What becomes of the {} that is not spent: the term ended on {}.",
                said(left),
                printed::day(one.term.to)
            )),
            _ => Some(format!("What becomes of the {} that is not spent.", said(left))),
        },
        lacking if lacking <= -0.005 => {
            let beyond = -lacking - to_come;
            Some(match (to_come > 0.005, beyond > 0.005) {
                (false, _) => format!("Who bears the {} spent beyond what was received.", said(lacking)),
                (true, false) => format!(
                    "Whether the {} that is approved and not yet paid is paid: {} of it is spent already.",
                    said(to_come),
                    said(lacking)
                ),
                (true, true) => format!(
                    "Who bears {} of what was spent: that much is beyond what was received and the {} that is approved and not yet paid.",
                    said(beyond),
                    said(to_come)
                ),
            })
        }
        _ => None,
    }
}
