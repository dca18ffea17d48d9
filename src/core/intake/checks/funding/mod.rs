//! Who pays for what, where several pay: everything that two agreements say of one thing, and days and sums that contradict.

pub(in crate::intake) mod claimed_twice;
mod ended;
mod ground;
mod instalments;
mod promised;
mod reasons;
mod rules;
mod terms;
mod unbudgeted;
mod unreceipted;
mod untold;

use crate::{
    problem::{Place, Problem},
    project::{AgreementId, Payer, Project},
    sharing::Shares,
    source::{Row, Sources},
    units::{Money, number},
};

/// Every check of a place with agreements, before it is seen as one of them sees it.
pub(crate) fn check(project: &Project, shares: &Shares, problems: &mut Vec<Problem>) {
    terms::check(project, shares, problems);
    claimed_twice::check(project, shares, problems);
    ground::check(project, shares, problems);
    promised::check(project, shares, problems);
    instalments::check(project, problems);
    rules::check(project, shares, problems);
    unreceipted::check(project, shares, problems);
    reasons::check(project, shares, problems);
    unbudgeted::check(project, shares, problems);
    untold::check(project, problems);
    ended::check(project, shares, problems);
}

/// A row in words, for the other place that a sentence names.
fn place(row: &Row) -> String {
    Place::row(row).to_string()
}

/// Rows in words, by file.
fn rows_of<'a>(rows: impl IntoIterator<Item = &'a Row>) -> String {
    let rows: Sources = rows.into_iter().collect();
    rows.printed().map(|(file, rows)| format!("{file} {rows}")).collect::<Vec<_>>().join(", ")
}

/// The payers in words.
fn payers<'a>(of: impl IntoIterator<Item = &'a Payer>) -> String {
    let codes: Vec<&str> = of.into_iter().map(Payer::code).collect();
    match codes.as_slice() {
        [most @ .., last] if !most.is_empty() => format!("{} and {last}", most.join(", ")),
        one => one.concat(),
    }
}

/// A sum with its currency.
fn sum(project: &Project, sum: Money) -> String {
    format!("{} {}", project.identity.currency, number(sum.number(), 2))
}

/// The agreement's id in words.
fn name(id: &AgreementId) -> String {
    id.to_string()
}
