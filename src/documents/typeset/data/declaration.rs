//! The declaration: what is declared, and blank lines for those who sign.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{printed, printed::Printed},
};
use hillfolio_core::{
    ledger::{FigureId, Series, catalogue},
    project::Signer,
};

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
    /// What the funder approved and has not paid; `None` where all of it came.
    to_come: Option<Printed>,
    /// Whether there is a next period for money to be carried into.
    goes_on: bool,
    /// The day on which the term ends, where it still runs: until then what is not spent is carried over, and nothing is to be decided.
    term_ends: Option<String>,
    /// What may be carried over without asking, where more than that is left.
    beyond: Option<Printed>,
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
        let (unspent, to_come) = (catalogue::UNSPENT.whole(), catalogue::TO_COME.whole());
        let limit = catalogue::UNSPENT_LIMIT.whole();
        let value = |id: &FigureId| inputs.ledger.figure(id.as_str()).map(|figure| figure.value);
        Declaration {
            words: agreement.and_then(|agreement| agreement.declaration.clone()),
            signer: agreement.and_then(|agreement| agreement.signer).map(Signer::words),
            overspent: inputs.ledger.figure(unspent.as_str()).is_some_and(|figure| figure.value < 0.0),
            to_come: inputs
                .ledger
                .figure(to_come.as_str())
                .filter(|figure| figure.value > 0.0)
                .map(|_| Printed::of(inputs.ledger, &to_come)),
            goes_on: agreement.is_none_or(|agreement| !agreement.has_ended(period.to)),
            term_ends: agreement
                .filter(|agreement| !agreement.has_ended(period.to))
                .map(|agreement| printed::day(agreement.term.to)),
            beyond: value(&unspent)
                .zip(value(&limit))
                .filter(|(left, limit)| left > limit)
                .map(|_| Printed::of(inputs.ledger, &limit)),
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
