//! The declaration: what is declared, and blank lines for those who sign.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{printed, printed::Printed},
};
use hillfolio_core::{
    ledger::{FigureId, Series, catalogue},
    project::{Agreement, Signer},
    units::{Money, number},
};

/// What is still to come of the funder's instalments; `None` where all came.
fn to_come(agreement: &Agreement, until: chrono::NaiveDate, currency: &str) -> Option<String> {
    let sum: Money = agreement.outstanding(until).map(|one| one.amount).sum();
    let last = agreement.outstanding(until).map(|one| one.on).max()?;
    Some(format!("{currency}\u{a0}{} by {}", number(sum.number(), 2), printed::day(last)))
}

/// The declaration page. No signature is ever printed.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Declaration {
    project: String,
    reference: String,
    period: String,
    grantee: String,
    signatory: Option<String>,
    /// What is declared, where the agreement gives the words.
    words: Option<String>,
    /// Who has to sign, where the agreement says so.
    signer: Option<&'static str>,
    unspent: Printed,
    /// Whether more was spent than there was.
    overspent: bool,
    /// Instalments that are still to come, in words.
    to_come: Option<String>,
    /// Whether there is a next period for money to be carried into.
    goes_on: bool,
    /// Whether the report holds carbon or soil figures that might be taken for more than they are.
    has_carbon: bool,
}

impl Declaration {
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> Declaration {
        let identity = &inputs.project.identity;
        let period = inputs.project.period;
        let estimated = |id: &FigureId| {
            Series::find(id.as_str())
                .is_some_and(|(series, _)| ["carbon", "erosion"].contains(&series.topic()))
        };
        let agreement = inputs.project.only_agreement();
        let unspent = catalogue::UNSPENT.whole();
        Declaration {
            words: agreement.and_then(|agreement| agreement.declaration.clone()),
            signer: agreement.and_then(|agreement| agreement.signer).map(Signer::words),
            overspent: inputs.ledger.figure(unspent.as_str()).is_some_and(|figure| figure.value < 0.0),
            to_come: agreement.and_then(|agreement| to_come(agreement, period.to, &identity.currency)),
            goes_on: agreement.is_none_or(|agreement| !agreement.has_ended(period.to)),
            project: identity.name.clone(),
            reference: identity.reference.clone(),
            period: format!("{} to {}", printed::day(period.from), printed::day(period.to)),
            grantee: identity.grantee.clone().unwrap_or_else(|| identity.landholder.clone()),
            signatory: identity.signatory.clone(),
            unspent: Printed::of(inputs.ledger, &unspent),
            has_carbon: inputs.ledger.iter().any(|(id, _)| estimated(id)),
        }
    }
}
