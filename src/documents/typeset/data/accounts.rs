//! An agreement's money over its years, in the acquittal: budget and spending of the year, to date and of the whole life, what was
//! carried over, instalments, changes, promises, milestones, and the tests of variances.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::printed::{self, Printed},
};
use hillfolio_core::{
    estimate::accounts::Accounts as Estimated,
    ledger::{self, Series, catalogue},
    project::{Agreement, AnswerLimit, Asset, AssetShare, Risk, UnspentFate, slug},
    units::{self, Money},
};

/// Columns of the table by line: of a line, and of all lines.
const COLUMNS: [(&Series, &Series); 5] = [
    (&catalogue::BUDGET_YEAR_LINE, &catalogue::BUDGET_YEAR),
    (&catalogue::SPENT_LINE, &catalogue::SPENT),
    (&catalogue::BUDGET_TO_DATE_LINE, &catalogue::BUDGET_TO_DATE),
    (&catalogue::SPENT_TO_DATE_LINE, &catalogue::SPENT_TO_DATE),
    (&catalogue::BUDGET_LIFE_LINE, &catalogue::BUDGET_LIFE),
];

/// The money of an agreement over its years.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Accounts {
    agreement: String,
    kind_of_dates: &'static str,
    term: String,
    by_year: bool,
    lines: Vec<Line>,
    years: Vec<Year>,
    /// Day, purpose, sum and status; those due later under what is approved among them.
    instalments: Vec<[String; 4]>,
    variations: Vec<[String; 6]>,
    contributions: Vec<[String; 5]>,
    milestones: Vec<[String; 4]>,
    /// What was bought, when, its price, what of it was borne here, what for, where it is kept, what it is worth now.
    assets: Vec<[String; 7]>,
    /// Whether some of it was bought together with others.
    assets_shared: bool,
    risks: Vec<[String; 5]>,
    tests: Vec<Test>,
    unspent: Printed,
    committed: Printed,
    /// How much may stay unspent without asking, where anything is left.
    limit: Option<Printed>,
    /// That more was spent than was received, where it was.
    overspent: Option<String>,
    unspent_rule: Option<String>,
    acknowledgement: Option<String>,
    /// All sources of the place where the agreement asks for them: this one, each other, and all.
    sources: Vec<Line>,
    /// Other funders who may be named.
    also: Vec<String>,
    supported: Vec<String>,
    answers: Vec<Answered>,
}

/// A question of the funder's own form with its answer.
#[derive(Serialize, JsonSchema)]
struct Answered {
    id: String,
    question: String,
    text: String,
    /// Words and characters against the limit.
    count: String,
}

#[derive(Serialize, JsonSchema)]
struct Line {
    name: String,
    cells: Vec<Printed>,
    change: Printed,
    strong: bool,
}

#[derive(Serialize, JsonSchema)]
struct Year {
    name: String,
    cells: Vec<Printed>,
}

#[derive(Serialize, JsonSchema)]
struct Test {
    figure: Printed,
    says: String,
}

impl Accounts {
    /// Those of the only agreement of the project; `None` where a folder has none.
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> Option<Accounts> {
        let (project, ledger) = (inputs.project, inputs.ledger);
        let estimated = Estimated::of(project)?;
        let agreement = estimated.agreement;
        let of = |series: &Series| Printed::of(ledger, &series.whole());
        let mut lines: Vec<Line> = estimated
            .line_names()
            .into_iter()
            .map(|name| Line {
                cells: COLUMNS.iter().map(|(line, _)| Printed::about(ledger, line, &slug(&name))).collect(),
                change: Printed::about(ledger, &catalogue::TEST_LINE, &slug(&name)),
                name,
                strong: false,
            })
            .collect();
        lines.push(Line {
            name: "Total".to_owned(),
            cells: COLUMNS.iter().map(|(_, total)| of(total)).collect(),
            change: Printed { text: Some(String::new()), number: Some(String::new()), ..Printed::default() },
            strong: true,
        });
        let years = estimated.by_year().into_iter().map(|year| {
            let code = year.year.to_string();
            let cells = [
                &catalogue::YEAR_CARRIED_IN,
                &catalogue::YEAR_RECEIVED,
                &catalogue::YEAR_INTEREST,
                &catalogue::YEAR_SPENT,
                &catalogue::YEAR_RETURNED,
                &catalogue::YEAR_CARRIED_OUT,
            ];
            Year {
                name: estimated.years.words(year.year),
                cells: cells.map(|series| Printed::about(ledger, series, &code)).into(),
            }
        });
        let left = ledger.figure(catalogue::UNSPENT.whole().as_str()).map_or(0.0, |figure| figure.value);
        let test = |series: &Series| {
            let figure = of(series);
            let notes = ledger.figure(series.whole().as_str()).map(|figure| figure.notes.join("; "));
            Test { says: notes.unwrap_or_default(), figure }
        };
        Some(Accounts {
            agreement: agreement.id.to_string(),
            kind_of_dates: agreement.dates.words(),
            term: format!("{} to {}", printed::day(agreement.term.from), printed::day(agreement.term.to)),
            by_year: estimated.has_years(),
            years: years.collect(),
            lines,
            instalments: instalments(agreement, &project.identity.currency, project.period.to),
            variations: variations(agreement),
            contributions: contributions(agreement, &estimated),
            milestones: milestones(agreement),
            assets: assets(agreement, &project.asset_shares),
            assets_shared: !project.asset_shares.is_empty(),
            risks: agreement.risks.iter().map(risk).collect(),
            tests: [
                test(&catalogue::TEST_WHOLE_GRANT),
                test(&catalogue::TEST_CUMULATIVE_TRANSFERS),
                test(&catalogue::TEST_LARGEST_LINE),
                test(&catalogue::TEST_NEW_LINE),
            ]
            .into(),
            unspent: of(&catalogue::UNSPENT),
            committed: of(&catalogue::COMMITTED),
            limit: agreement
                .unspent
                .filter(|rule| {
                    let set = rule.of_paid.is_some() || rule.at_most.is_some();
                    set && left > 0.0 && !(rule.fate == UnspentFate::Carry && agreement.has_ended(project.period.to))
                })
                .map(|_| of(&catalogue::UNSPENT_LIMIT)),
            overspent: (left < 0.0).then(|| {
                let beyond = units::number(-left, 2);
                format!(
                    "More was spent than was received: {}\u{a0}{beyond} beyond it. Nothing is left of which the agreement’s rule could say what becomes of it.",
                    project.identity.currency
                )
            }),
            unspent_rule: agreement.unspent.map(|rule| unspent_rule(agreement, rule.fate, project.period.to)),
            acknowledgement: agreement.acknowledgement.clone(),
            sources: sources(inputs, agreement),
            also: project.other_sources.iter().filter(|one| one.named).map(|one| one.name.clone()).collect(),
            answers: hillfolio_core::ledger::answers(ledger, project).0.into_iter().map(answered).collect(),
            supported: agreement.supports.iter().map(|area| area.to_string()).collect(),
        })
    }
}

/// This agreement beside the other sources of the place, where it asks for all of them.
fn sources(inputs: &ReportInputs<'_>, agreement: &Agreement) -> Vec<Line> {
    let (project, ledger) = (inputs.project, inputs.ledger);
    if project.other_sources.is_empty() {
        return Vec::new();
    }
    let line = |name: String, figure: Printed, strong: bool| Line {
        name,
        cells: vec![figure],
        change: Printed::default(),
        strong,
    };
    let own = agreement.funder.clone().unwrap_or_else(|| "this agreement".to_owned());
    let mut lines = vec![line(own, Printed::of(ledger, &catalogue::SPENT_TO_DATE.whole()), false)];
    lines.extend(project.other_sources.iter().map(|one| {
        line(one.name.clone(), Printed::about(ledger, &catalogue::OTHER_SOURCE, &slug(&one.name)), false)
    }));
    lines.push(line("All sources".to_owned(), Printed::of(ledger, &catalogue::ALL_SOURCES.whole()), true));
    lines
}

/// What becomes of money that is not spent when the agreement has no next year.
fn unspent_rule(agreement: &Agreement, fate: UnspentFate, until: chrono::NaiveDate) -> String {
    let ends = printed::day(agreement.term.to);
    match (fate, agreement.has_ended(until)) {
        (UnspentFate::Return, true) => "goes back to the funder".to_owned(),
        (UnspentFate::Return, false) => format!("goes back to the funder when the term ends, on {ends}"),
        (UnspentFate::Retain, _) => "may be kept where the funder approves".to_owned(),
        (UnspentFate::Carry, false) => "is carried into the next year".to_owned(),
        (UnspentFate::Carry, true) => {
            format!(
                "is carried into the next year; the term ended on {ends}, so there is none, and the funder is to be asked"
            )
        }
    }
}

fn answered(answer: ledger::Answer) -> Answered {
    let limit = match answer.limit {
        Some(AnswerLimit::Words(most)) => format!("; {most} words at the most"),
        Some(AnswerLimit::Characters(most)) => format!("; {most} characters at the most"),
        None => String::new(),
    };
    let count = format!("{} words, {} characters{limit}", answer.words(), answer.characters());
    Answered { id: answer.id, question: answer.question, text: answer.text, count }
}

fn sum(sum: Money) -> String {
    units::number(sum.number(), 2)
}

fn instalments(agreement: &Agreement, currency: &str, until: chrono::NaiveDate) -> Vec<[String; 4]> {
    let one = |one: &hillfolio_core::project::Instalment| {
        let came = match (one.received, one.on > until) {
            (true, _) => "received",
            (false, true) => "to come",
            (false, false) => "not received",
        };
        let purpose = one.purpose.clone().unwrap_or_else(|| "not stated".to_owned());
        [printed::day(one.on), purpose, format!("{currency}\u{a0}{}", sum(one.amount)), came.to_owned()]
    };
    agreement.instalments.iter().map(one).collect()
}

fn variations(agreement: &Agreement) -> Vec<[String; 6]> {
    let one = |one: &hillfolio_core::project::Variation| {
        let day = |day: Option<chrono::NaiveDate>| day.map_or_else(|| "not".to_owned(), printed::day);
        let what = [one.line.clone(), one.words.clone()].into_iter().flatten().collect::<Vec<_>>().join(": ");
        let money = |sum_of: Option<Money>| sum_of.map_or_else(|| "–".to_owned(), sum);
        let letter = one.letter.clone().or_else(|| one.clause.clone()).unwrap_or_else(|| "–".to_owned());
        [
            one.number.clone(),
            what,
            format!("{} to {}", money(one.before), money(one.after)),
            day(one.asked),
            day(one.approved),
            letter,
        ]
    };
    agreement.variations.iter().map(one).collect()
}

fn contributions(agreement: &Agreement, estimated: &Estimated<'_>) -> Vec<[String; 5]> {
    let one = |one: &hillfolio_core::project::Contribution| {
        let kind = if one.in_kind { "in kind" } else { "cash" };
        [
            one.who.clone(),
            kind.to_owned(),
            estimated.years.words(one.year),
            sum(one.promised),
            sum(one.received),
        ]
    };
    agreement.contributions.iter().map(one).collect()
}

/// A cell of a register in which nothing was written.
fn or_not_stated(words: Option<&String>) -> String {
    words.cloned().unwrap_or_else(|| "not stated".to_owned())
}

/// The register, and what stands in another's of which a part was borne here.
fn assets(agreement: &Agreement, shares: &[AssetShare]) -> Vec<[String; 7]> {
    let own = agreement.assets.iter().map(|one| {
        let is_it = |share: &&AssetShare| {
            share.own
                && (&share.asset.words, share.asset.on, share.asset.price) == (&one.words, one.on, one.price)
        };
        asset(one, shares.iter().find(is_it).map_or(one.price, |share| share.share))
    });
    let of_others = shares.iter().filter(|share| !share.own).map(|share| {
        let mut cells = asset(&share.asset, share.share);
        cells[4] = "listed by another who paid a part".to_owned();
        cells[6] = "told there".to_owned();
        cells
    });
    own.chain(of_others).collect()
}

fn asset(one: &Asset, borne: Money) -> [String; 7] {
    let serial = one.serial.as_ref().map(|serial| format!("{} ({serial})", one.words));
    let now = match (one.disposed, one.value) {
        (Some(day), _) => {
            let how = one.disposal.as_ref().map(|how| format!(": {how}")).unwrap_or_default();
            format!("gone on {}{how}", printed::day(day))
        }
        (None, Some(value)) => sum(value),
        (None, None) => "not stated".to_owned(),
    };
    let what = serial.unwrap_or_else(|| one.words.clone());
    let purpose = or_not_stated(one.purpose.as_ref());
    let place = or_not_stated(one.place.as_ref());
    [what, printed::day(one.on), sum(one.price), sum(borne), purpose, place, now]
}

fn risk(one: &Risk) -> [String; 5] {
    let [likelihood, consequence, response, who] =
        [&one.likelihood, &one.consequence, &one.response, &one.who]
            .map(|words| or_not_stated(words.as_ref()));
    [one.words.clone(), likelihood, consequence, response, who]
}

fn milestones(agreement: &Agreement) -> Vec<[String; 4]> {
    let one = |one: &hillfolio_core::project::Milestone| {
        let done = one.done.map_or_else(|| "not done".to_owned(), printed::day);
        [
            one.words.clone(),
            printed::day(one.due),
            done,
            one.shown_by.clone().unwrap_or_else(|| "not stated".to_owned()),
        ]
    };
    agreement.milestones.iter().map(one).collect()
}
