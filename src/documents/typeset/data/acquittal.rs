//! The grant acquittal: what it holds beside the parts of every report.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    Document, ReportInputs,
    data::{
        Job,
        accounts::Accounts,
        actions::Actions,
        approval::{self, Condition},
        evidence::Register,
        money::Money,
        monitoring::Monitoring,
        report,
        species::Species,
    },
};

/// The parts of the acquittal alone.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Acquittal {
    monitoring: Monitoring,
    species: Species,
    money: Money,
    /// Of an agreement alone.
    accounts: Option<Accounts>,
    receipts: Register,
    /// What went wrong and what was done, where no offset report tells of it.
    actions: Actions,
    /// Conditions, where no offset report has them.
    conditions: Vec<Condition>,
}

/// The acquittal to be set.
pub(crate) fn job(inputs: &ReportInputs<'_>) -> Job {
    let alone = approval::stand_in(inputs, Document::Acquittal);
    let own = Acquittal {
        monitoring: Monitoring::of(inputs),
        species: Species::of(inputs),
        money: Money::of(inputs),
        accounts: Accounts::of(inputs),
        receipts: Register::of(inputs),
        actions: if alone { Actions::of(inputs) } else { Actions::default() },
        conditions: if alone { Condition::all(inputs) } else { Vec::new() },
    };
    report::job(inputs, Document::Acquittal, "acquittal.typ", own)
}
