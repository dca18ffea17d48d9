//! The register of receipts.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{ReportInputs, data::printed};
use hillfolio_core::units::{Unit, number};

/// One payment with its receipt.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Receipt {
    /// Its number in the register.
    number: usize,
    date: String,
    payee: String,
    amount: String,
    line: String,
    receipt: Option<String>,
    in_kind: bool,
    row: String,
}

impl Receipt {
    /// Every payment of the period, in the order of its table.
    pub(crate) fn all(inputs: &ReportInputs<'_>) -> Vec<Receipt> {
        let project = inputs.project;
        let decimals = Unit::Currency(String::new()).decimals();
        let spent = project.spending.iter().filter(|spending| project.period.holds(spending.date));
        spent
            .enumerate()
            .map(|(index, spending)| Receipt {
                number: index + 1,
                date: printed::short_day(spending.date),
                payee: spending.payee.clone().unwrap_or_default(),
                amount: number(spending.counted(project.money.acquit).number(), decimals),
                line: spending.line.clone(),
                receipt: spending.receipt.clone(),
                in_kind: spending.in_kind,
                row: format!("{} row {}", spending.source.file, spending.source.row),
            })
            .collect()
    }
}
