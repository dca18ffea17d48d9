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
