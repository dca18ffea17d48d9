//! The register of receipts, each under the number that it bears everywhere, and how the parts of shared receipts were worked out.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{ReportInputs, data::printed};
use hillfolio_core::{
    project::DateBasis,
    units::{Unit, number},
};

/// One payment with its receipt.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Receipt {
    /// Its evidence number.
    number: String,
    /// The day that counts.
    date: String,
    /// The day of payment, where another day counts.
    paid: Option<String>,
    payee: String,
    amount: String,
    line: String,
    receipt: Option<String>,
    in_kind: bool,
    row: String,
    /// The table's file alone.
    file: String,
    row_number: u32,
    /// The row in the whole folder, where this one holds a part of it.
    original: Option<String>,
    /// How this part of the receipt was worked out.
    shared: Option<String>,
    /// What counts here instead of the day of payment.
    counted_by: Option<&'static str>,
}

impl Receipt {
    /// Every payment of the period, in the order of its table.
    pub(crate) fn all(inputs: &ReportInputs<'_>) -> Vec<Receipt> {
        let project = inputs.project;
        let decimals = Unit::Currency(String::new()).decimals();
        let dates = project.only_agreement().map_or(DateBasis::Paid, |agreement| agreement.dates);
        let spent = project.spending.iter().enumerate();
        spent
            .filter(|(_, spending)| project.period.holds(spending.counted_on))
            .map(|(index, spending)| Receipt {
                number: spending.evidence_number(index),
                date: printed::short_day(spending.counted_on),
                paid: (spending.counted_on != spending.date).then(|| printed::short_day(spending.date)),
                payee: spending.payee.clone().unwrap_or_default(),
                amount: number(spending.counted(project.money.acquit).number(), decimals),
                line: spending.line.clone(),
                receipt: spending.receipt.clone(),
                in_kind: spending.in_kind,
                row: format!("{} row {}", spending.source.file, spending.source.row),
                file: spending.source.file.to_string(),
                row_number: spending.source.row,
                original: spending.original.as_ref().map(|place| place.replacen(':', " row ", 1)),
                shared: spending.shared.clone(),
                counted_by: (dates != DateBasis::Paid).then(|| dates.words()),
            })
            .collect()
    }
}
