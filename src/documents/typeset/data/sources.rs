//! The statement by source: what each agreement and the landholder gave and spent on one place, in kind apart.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;
use typst_pdf::PdfStandard;

use crate::typeset::{
    Document, ReportInputs,
    data::{
        Job,
        meta::{Colophon, Meta, footer},
        notes::sentence,
        places::or_site,
        printed::{self, Printed},
        tree,
    },
};
use hillfolio_core::{
    estimate::{
        promises::{self, Promise, promises},
        shared_receipts::{SharedPart, SharedReceipt, shared_receipts},
        sources::Place,
    },
    ledger::{Series, catalogue},
    problem::{Grade, Kind, Problem},
    project::{Action, AgreementKind, Basis, Project, ShareOver, Sharing, TaxBasis, slug},
    source,
    units::number,
};

const STANDARDS: &[PdfStandard] = &[PdfStandard::A_2a, PdfStandard::Ua_1];
const STANDARD: &str = "PDF/A-2a and PDF/UA-1";

/// The statement's tree.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Sources {
    meta: Meta,
    footer: String,
    interval_heading: String,
    colophon: Colophon,
    name: String,
    period: String,
    landholder: String,
    currency: String,
    columns: Vec<Column>,
    /// The columns of what is counted and not paid.
    counted: Vec<Column>,
    /// Whether some sources count with tax and some without.
    mixed: bool,
    cash: Vec<Row>,
    parts: Vec<Row>,
    kind: Vec<Row>,
    volunteers: Printed,
    /// The part of all that is no cash.
    given: Printed,
    shared: Vec<Shared>,
    outside: Printed,
    outputs: Vec<Row>,
    rules: Vec<Rule>,
    /// What others promised to give: who, as what, to which agreement, for which year, promised and received.
    promised: Vec<[String; 6]>,
    /// What went wrong or was changed and no agreement’s report tells of.
    untold: Vec<Untold>,
    doubts: Vec<String>,
}

/// An incident or a change that is of no agreement.
#[derive(Serialize, JsonSchema)]
struct Untold {
    date: String,
    occasion: &'static str,
    what: String,
    area: String,
    response: String,
    done: String,
}

/// A payer's column.
#[derive(Serialize, JsonSchema)]
struct Column {
    head: String,
    /// Reference, term and basis of tax and dates, a line each.
    says: Vec<String>,
}

/// A row of the statement: a figure for each payer and for all.
#[derive(Serialize, JsonSchema)]
struct Row {
    name: String,
    cells: Vec<Printed>,
    strong: bool,
}

/// A rule by which costs are shared.
#[derive(Serialize, JsonSchema)]
struct Rule {
    of: String,
    between: String,
    by: String,
    basis: String,
    decided: String,
}

/// A receipt that several bear.
#[derive(Serialize, JsonSchema)]
struct Shared {
    number: String,
    line: String,
    receipt: String,
    /// What each bears and how that was worked out.
    parts: Vec<String>,
}

/// The receipts up to the period's end that several bear, by the rules or by their own rows.
fn shared(project: &Project) -> Vec<Shared> {
    let part = |part: &SharedPart| {
        let outside = if part.admitted { "" } else { "; outside its term, and not counted" };
        format!("{}: {}, {}{outside}", part.payer.code(), number(part.amount.number(), 2), part.told)
    };
    let one = |one: SharedReceipt<'_>| Shared {
        number: one.evidence,
        line: one.row.line.clone(),
        receipt: [&one.row.payee, &one.row.receipt]
            .into_iter()
            .flatten()
            .cloned()
            .collect::<Vec<_>>()
            .join(", "),
        parts: one.parts.iter().map(part).collect(),
    };
    shared_receipts(project).into_iter().map(one).collect()
}

/// The statement to be set.
pub(crate) fn job(inputs: &ReportInputs<'_>) -> Job {
    let (project, ledger) = (inputs.project, inputs.ledger);
    let standing_of = |series: &Series, code: &str| ledger.figure_of(series, &[code]).is_some();
    let standing = |code: &str| standing_of(&catalogue::SOURCE_SPENT, code);
    let agreements = project.agreements.iter().map(|one| one.id.to_string());
    let codes: Vec<String> = agreements
        .chain(["own", "unclaimed", "all", "all-without-tax", "all-with-tax"].map(str::to_owned))
        .filter(|code| standing(code))
        .collect();
    // What is counted has no tax in it: all of it stands once.
    let mut counted = codes.clone();
    counted.retain(|code| !code.starts_with("all"));
    counted.push("all".to_owned());
    let of_codes = |codes: &[String], name: &str, strong: bool, cell: &dyn Fn(&str) -> Printed| Row {
        name: name.to_owned(),
        cells: codes.iter().map(|code| cell(code)).collect(),
        strong,
    };
    let row = |name: &str, strong: bool, cell: &dyn Fn(&str) -> Printed| of_codes(&codes, name, strong, cell);
    let output = |name: &str, cell: &dyn Fn(&str) -> Printed| of_codes(&counted, name, false, cell);
    let of = |series: &'static Series| move |code: &str| Printed::about(ledger, series, code);
    let mut cash = vec![
        row("Received", false, &of(&catalogue::SOURCE_RECEIVED)),
        row("Interest", false, &of(&catalogue::SOURCE_INTEREST)),
    ];
    let place = Place::of(project);
    for line in place.iter().flat_map(Place::lines) {
        let cell = |code: &str| Printed::of(ledger, &catalogue::SOURCE_SPENT_LINE.id(&[&slug(&line), code]));
        cash.push(row(&line, false, &cell));
    }
    cash.push(row("Spent", true, &of(&catalogue::SOURCE_SPENT)));
    let overspent = |code: &String| {
        ledger.figure_of(&catalogue::SOURCE_UNSPENT, &[code]).is_some_and(|figure| figure.value < 0.0)
    };
    let unspent = match codes.iter().any(overspent) {
        true => "Unspent; below nothing: overspent",
        false => "Unspent",
    };
    cash.push(row(unspent, true, &|code| Printed {
        gap: None,
        ..or_whole(
            of(&catalogue::SOURCE_UNSPENT)(code),
            if standing_of(&catalogue::SOURCE_UNSPENT, code) { "" } else { code },
        )
    }));
    let hours = |basis: Basis| {
        let cell = move |code: &str| Printed::of(ledger, &catalogue::SOURCE_HOURS.id(&[basis.words(), code]));
        output(&format!("Hours, {}", basis.words()), &cell)
    };
    let data = Sources {
        meta: Meta::of(inputs, Document::Sources.title(), STANDARD),
        footer: footer(inputs),
        interval_heading: String::new(),
        colophon: Colophon::of(inputs, STANDARD),
        name: project.identity.name.clone(),
        period: printed::day(project.period.to),
        landholder: project.identity.landholder.clone(),
        currency: project.identity.currency.clone(),
        columns: codes.iter().map(|code| column(inputs, code)).collect(),
        counted: counted.iter().map(|code| column(inputs, code)).collect(),
        mixed: codes.iter().any(|code| code == "all-with-tax"),
        cash,
        parts: vec![
            row("Part of all cash", false, &|code| or_whole(of(&catalogue::SOURCE_PART_OF_CASH)(code), code)),
            row("Part of all cash and kind", false, &|code| {
                or_whole(of(&catalogue::SOURCE_PART_OF_ALL)(code), code)
            }),
        ],
        kind: vec![row("Given in kind", false, &of(&catalogue::SOURCE_IN_KIND))],
        volunteers: Printed::of(ledger, &catalogue::SOURCE_VOLUNTEERS.whole()),
        given: Printed::about(ledger, &catalogue::SOURCE_PART_OF_ALL, "given"),
        shared: shared(project),
        outside: Printed::of(ledger, &catalogue::SOURCE_OUTSIDE.whole()),
        outputs: vec![
            output("Hectares reported", &of(&catalogue::SOURCE_HECTARES)),
            output("Stems planted", &of(&catalogue::SOURCE_STEMS)),
            hours(Basis::Paid),
            hours(Basis::Volunteer),
            hours(Basis::InKind),
        ],
        rules: in_force(project, place.as_ref()).map(rule).collect(),
        promised: promised(project),
        untold: untold(project),
        doubts: funding_doubts(inputs),
    };
    Job {
        name: format!("{}.pdf", Document::Sources.name()),
        template: "sources.typ",
        data: tree(&data),
        images: Vec::new(),
        drawings: Vec::new(),
        standards: STANDARDS,
    }
}

/// Nobody has a part of what all have, and sources that count by unlike rules have no balance together: the column of all stays empty.
fn or_whole(figure: Printed, code: &str) -> Printed {
    if code.starts_with("all") {
        Printed { text: Some(String::new()), number: Some(String::new()), gap: None, ..figure }
    } else {
        figure
    }
}

fn column(inputs: &ReportInputs<'_>, code: &str) -> Column {
    let project = inputs.project;
    let Some(one) = project.agreements.iter().find(|one| &*one.id.0 == code) else {
        let (head, says) = match code {
            "own" => ("Landholder’s own", vec![project.identity.landholder.clone(), "own cash".to_owned()]),
            "unclaimed" => ("Unclaimed", vec!["what shares leave over".to_owned()]),
            "all-without-tax" => ("All", vec!["tax excluded".to_owned()]),
            "all-with-tax" => ("All", vec!["tax included".to_owned()]),
            _ => ("All", Vec::new()),
        };
        return Column { head: head.to_owned(), says };
    };
    let kind = match one.kind {
        AgreementKind::Grant => "grant, cash",
        AgreementKind::Offset => "offset, cash",
    };
    let mut says: Vec<String> = vec![code.to_owned(), kind.to_owned()];
    says.extend(one.reference.clone());
    says.push(format!("{} to {}", printed::day(one.term.from), printed::day(one.term.to)));
    let stated = if one.tax_stated || one.claims_tax_back.is_some() { "" } else { ", not stated" };
    says.push(match one.tax {
        TaxBasis::Excluded => format!("tax excluded{stated}"),
        TaxBasis::Included => format!("tax included{stated}"),
    });
    says.push(format!("by {}", one.dates.words()));
    Column { head: one.funder.clone().unwrap_or_else(|| code.to_owned()), says }
}

/// The rules for days up to the period's end: decided by then, or sharing what was done by then.
fn in_force<'a>(project: &'a Project, place: Option<&'a Place<'a>>) -> impl Iterator<Item = &'a Sharing> {
    let until = project.period.to;
    let known = move |(at, rule): &(usize, &Sharing)| {
        rule.from.is_none_or(|from| from <= until)
            && (rule.decided <= until || place.is_some_and(|place| place.is_shared_by(*at)))
    };
    project.sharing.iter().enumerate().filter(known).map(|(_, rule)| rule)
}

/// The promises of others for the years that had begun by the period's end, with what had come by then.
fn promised(project: &Project) -> Vec<[String; 6]> {
    let one = |of: Promise<'_>| {
        [
            of.promise.who.clone(),
            if of.promise.in_kind { "in kind" } else { "cash" }.to_owned(),
            of.agreement.to_string(),
            of.year,
            number(of.promise.promised.number(), 2),
            number(of.received.number(), 2),
        ]
    };
    promises(project).into_iter().map(one).collect()
}

fn untold(project: &Project) -> Vec<Untold> {
    let until = project.period.to;
    let one = |row: &Action| Untold {
        date: printed::short_day(row.date),
        occasion: row.occasion.words(),
        what: row.what.clone(),
        area: or_site(row.area.as_ref()),
        response: row.response.clone().unwrap_or_else(|| "not stated".to_owned()),
        done: row.done.filter(|done| *done <= until).map_or_else(|| "open".to_owned(), printed::short_day),
    };
    promises::untold(project).map(one).collect()
}

/// Where rows stand that are dated after the period's end: doubts about them are of the next.
fn later(project: &Project) -> BTreeSet<&source::Row> {
    let until = project.period.to;
    let spending = project.spending.iter().filter(|row| row.date > until).map(|row| &row.source);
    let works = project.works.iter().filter(|row| row.date > until).map(|row| &row.source);
    let plantings = project.plantings.iter().filter(|row| row.date > until).map(|row| &row.source);
    let actions = project.actions.iter().filter(|row| row.date > until).map(|row| &row.source);
    let assets = project.agreements.iter().flat_map(|one| &one.assets);
    let assets = assets.filter(|one| one.on > until).map(|one| &one.source);
    let instalments = project.agreements.iter().flat_map(|one| &one.instalments);
    let instalments = instalments.filter(|one| one.day() > until).map(|one| &one.source);
    spending.chain(works).chain(plantings).chain(actions).chain(assets).chain(instalments).collect()
}

fn rule(rule: &Sharing) -> Rule {
    let of: Vec<&str> = rule.lines.iter().chain(&rule.tasks).map(String::as_str).collect();
    let between: Vec<String> = rule
        .between
        .iter()
        .map(|(payer, share)| match share {
            Some(share) => format!("{} {}", payer.code(), share.normalize()),
            None => payer.code().to_owned(),
        })
        .collect();
    Rule {
        of: if of.is_empty() { "everything that names no agreement".to_owned() } else { of.join(", ") },
        between: between.join(", "),
        by: match rule.over {
            ShareOver::ToDate => format!("{}, to date", rule.by.words()),
            ShareOver::Period => rule.by.words().to_owned(),
        },
        basis: rule.basis.clone(),
        decided: printed::day(rule.decided),
    }
}

/// What is doubtful about who pays, each said once.
fn funding_doubts(inputs: &ReportInputs<'_>) -> Vec<String> {
    let mut doubts: Vec<String> = Vec::new();
    let later = later(inputs.project);
    let of_later = |problem: &Problem| {
        let row = problem.place.row.map(|row| source::Row { file: problem.place.path.clone(), row });
        row.is_some_and(|row| later.contains(&row))
    };
    for problem in inputs.problems {
        let told = problem.grade() != Grade::Remark && !of_later(problem);
        if told && matches!(problem.kind, Kind::Funding(_)) {
            let says = sentence(&problem.message().sentence);
            let says = format!("{}: {says}", problem.place);
            if !doubts.contains(&says) {
                doubts.push(says);
            }
        }
    }
    doubts
}
