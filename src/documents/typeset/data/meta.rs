//! What a file says of itself, and what every page of it bears.

use chrono::Datelike;
use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{Portfolio, ReportInputs, data::printed};
use hillfolio_core::{
    problem::{Kind, Plausibility, Problem},
    project::Paper,
};

/// What the file says of itself, and what every page of it bears.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Meta {
    title: String,
    author: String,
    description: String,
    /// `None` for a file that bears none.
    date: Option<Date>,
    paper: &'static str,
    accent: String,
    footer: String,
    program: String,
    standard: &'static str,
}

/// A day as the typesetter takes it.
#[derive(Serialize, JsonSchema)]
struct Date {
    year: i32,
    month: u32,
    day: u32,
}

impl Meta {
    /// The properties of a file with this title.
    pub(crate) fn of(inputs: &ReportInputs<'_>, title: &str, standard: &'static str) -> Meta {
        let identity = &inputs.project.identity;
        let period = inputs.project.period;
        Meta {
            title: format!("{title}: {}", printed::shortened(&identity.name, 120)),
            author: identity.author.clone().unwrap_or_else(|| identity.landholder.clone()),
            description: format!(
                "{title} of {} ({}), {} to {}",
                printed::shortened(&identity.name, 120),
                printed::shortened(&identity.reference, 60),
                printed::day(period.from),
                printed::day(period.to)
            ),
            date: Some(Date { year: period.to.year(), month: period.to.month(), day: period.to.day() }),
            paper: match identity.paper {
                Paper::A4 => "a4",
                Paper::Letter => "us-letter",
            },
            accent: identity.accent.clone().unwrap_or_else(|| crate::draw::palette::ACCENT.to_owned()),
            footer: footer(inputs),
            program: format!("Hillfolio {}", inputs.version),
            standard,
        }
    }

    /// The properties of a file about a folder whose settings may not be known: no author, no date, the usual paper.
    pub(crate) fn undated(title: &str, version: &str, standard: &'static str) -> Meta {
        Meta {
            title: title.to_owned(),
            author: String::new(),
            description: title.to_owned(),
            date: None,
            paper: "a4",
            accent: crate::draw::palette::ACCENT.to_owned(),
            footer: title.to_owned(),
            program: format!("Hillfolio {version}"),
            standard,
        }
    }
}

impl Meta {
    /// The properties of the report of a portfolio.
    pub(crate) fn of_portfolio(portfolio: &Portfolio<'_>, standard: &'static str) -> Meta {
        let name = printed::shortened(portfolio.name, 120);
        let (from, to) = (printed::day(portfolio.from), printed::day(portfolio.to));
        Meta {
            title: format!("Portfolio report: {name}"),
            author: name.clone(),
            description: format!("Portfolio report of {name}, {from} to {to}"),
            date: Some(Date {
                year: portfolio.to.year(),
                month: portfolio.to.month(),
                day: portfolio.to.day(),
            }),
            paper: "a4",
            accent: crate::draw::palette::ACCENT.to_owned(),
            footer: footer_of_portfolio(portfolio),
            program: format!("Hillfolio {}", portfolio.version),
            standard,
        }
    }
}

/// The portfolio's name and its time as they stand at the foot of every page.
pub(crate) fn footer_of_portfolio(portfolio: &Portfolio<'_>) -> String {
    let (from, to) = (printed::day(portfolio.from), printed::day(portfolio.to));
    format!("{}  ·  {from} to {to}", printed::shortened(portfolio.name, 48))
}

/// What every page bears while the folder holds parts of the example that `new` writes.
const EXAMPLE: &str = "holds invented examples";

fn holds_example(problems: &[Problem]) -> bool {
    problems.iter().any(|problem| matches!(problem.kind, Kind::Plausibility(Plausibility::StarterRow { .. })))
}

/// Project, reference and period as they stand at the foot of every page.
pub(crate) fn footer(inputs: &ReportInputs<'_>) -> String {
    let period = inputs.project.period;
    footer_for(inputs, &format!("{} to {}", printed::day(period.from), printed::day(period.to)))
}

/// The same with another time than the period's.
pub(crate) fn footer_for(inputs: &ReportInputs<'_>, time: &str) -> String {
    let identity = &inputs.project.identity;
    let example = if holds_example(inputs.problems) { EXAMPLE } else { "" };
    let (name, reference) =
        (printed::shortened(&identity.name, 36), printed::shortened(&identity.reference, 20));
    [name.as_str(), reference.as_str(), time, example]
        .into_iter()
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join("  ·  ")
}

/// The closing words about the document itself.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Colophon {
    program: String,
    standard: &'static str,
}

impl Colophon {
    /// The same of the report of a portfolio.
    pub(crate) fn of_portfolio(portfolio: &Portfolio<'_>, standard: &'static str) -> Colophon {
        Colophon { program: format!("Hillfolio {}", portfolio.version), standard }
    }

    /// The program that made the document, and the standard that it is written as.
    pub(crate) fn of(inputs: &ReportInputs<'_>, standard: &'static str) -> Colophon {
        Colophon { program: format!("Hillfolio {}", inputs.version), standard }
    }
}
