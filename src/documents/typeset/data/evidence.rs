//! The register of receipts, each under the number that it bears everywhere, and how the parts of shared receipts were worked out.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::printed::{self, Printed},
};
use hillfolio_core::{
    ledger::catalogue,
    project::DateBasis,
    units::{Unit, number},
};

/// One payment with its receipt.
#[derive(Serialize, JsonSchema)]
struct Receipt {
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

/// The register of the period: its receipts, what they come to, and what is not charged.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Register {
    /// First and last day of the period.
    period: String,
    rows: Vec<Receipt>,
    /// Cash of the period.
    cash: Printed,
    /// What was given in kind in the period.
    kind: Printed,
    /// Whether anything was given in kind.
    has_kind: bool,
    /// Costs that are dated where the agreement admits none: day, payee, line, receipt, row of the whole folder, sum, and why.
    not_charged: Vec<[String; 7]>,
}

impl Register {
    /// That of the period.
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> Register {
        let (project, ledger) = (inputs.project, inputs.ledger);
        let decimals = Unit::Currency(String::new()).decimals();
        let rows = Receipt::all(inputs);
        let not_charged = project.not_charged.iter().map(|one| {
            let kind = if one.in_kind { " (in kind)" } else { "" };
            let stated = |words: &Option<String>| words.clone().unwrap_or_else(|| "not recorded".to_owned());
            [
                printed::short_day(one.on),
                stated(&one.payee),
                format!("{}{kind}", one.line),
                stated(&one.receipt),
                one.at.clone(),
                number(one.amount.number(), decimals),
                one.why.clone(),
            ]
        });
        Register {
            period: format!("{} to {}", printed::day(project.period.from), printed::day(project.period.to)),
            cash: Printed::of(ledger, &catalogue::SPENT.whole()),
            kind: Printed::of(ledger, &catalogue::SPENT_IN_KIND.whole()),
            has_kind: rows.iter().any(|row| row.in_kind),
            not_charged: not_charged.collect(),
            rows,
        }
    }
}

impl Receipt {
    /// Every payment of the period, in the order of its table.
    fn all(inputs: &ReportInputs<'_>) -> Vec<Receipt> {
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
