//! What others promised to give to the agreements over a place, and what went wrong there that no agreement's report tells of.

use crate::{
    project::{Action, AgreementId, Contribution, Project},
    sharing::{FinancialYears, told_to},
    units::Money,
};

/// A promise of a year that had begun by the period's end.
#[derive(Debug)]
pub struct Promise<'a> {
    /// The agreement that it was made to.
    pub agreement: &'a AgreementId,
    /// Its financial year, in words.
    pub year: String,
    /// The promise.
    pub promise: &'a Contribution,
    /// What had come of it by the period's end.
    pub received: Money,
}

/// Every such promise, in the order of the agreements.
#[must_use]
pub fn promises(project: &Project) -> Vec<Promise<'_>> {
    let until = project.period.to;
    let mut listed = Vec::new();
    for agreement in &project.agreements {
        let years = FinancialYears::of(agreement, project.period);
        for promise in agreement.contributions.iter().filter(|one| years.span(one.year).from <= until) {
            listed.push(Promise {
                agreement: &agreement.id,
                year: years.words(promise.year),
                promise,
                received: promise.received_by(until),
            });
        }
    }
    listed
}

/// What went wrong or was changed by the period's end, and is told by nobody's report.
pub fn untold(project: &Project) -> impl Iterator<Item = &Action> {
    let until = project.period.to;
    project.actions.iter().filter(move |row| row.date <= until && told_to(project, row).is_empty())
}
