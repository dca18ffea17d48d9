//! The declaration: what is declared, and blank lines for those who sign.

use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{printed, printed::Printed},
};
use hillfolio_core::ledger::{FigureId, Series, catalogue};

/// The declaration page. No signature is ever printed.
#[derive(Serialize)]
pub(crate) struct Declaration {
    project: String,
    reference: String,
    period: String,
    grantee: String,
    signatory: Option<String>,
    unspent: Printed,
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
        Declaration {
            project: identity.name.clone(),
            reference: identity.reference.clone(),
            period: format!("{} to {}", printed::day(period.from), printed::day(period.to)),
            grantee: identity.grantee.clone().unwrap_or_else(|| identity.landholder.clone()),
            signatory: identity.signatory.clone(),
            unspent: Printed::of(inputs.ledger, &catalogue::UNSPENT.whole()),
            has_carbon: inputs.ledger.iter().any(|(id, _)| estimated(id)),
        }
    }
}
