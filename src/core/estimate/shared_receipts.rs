//! The receipts that several payers bear: what each bears of them, and how that was worked out.

use crate::{
    project::{Payer, Project, Spending},
    sharing::{Shares, told},
    units::Money,
};

/// A receipt that several bear.
#[derive(Debug)]
pub struct SharedReceipt<'a> {
    /// Its number.
    pub evidence: String,
    /// The payment.
    pub row: &'a Spending,
    /// What each bears.
    pub parts: Vec<SharedPart>,
}

/// What one payer bears of a receipt.
#[derive(Debug)]
pub struct SharedPart {
    /// Who.
    pub payer: Payer,
    /// How much, tax in it.
    pub amount: Money,
    /// How that was worked out.
    pub told: String,
    /// Whether its agreement admits a cost of that day.
    pub admitted: bool,
}

/// Those of `project` up to the end of its period, by its rules or by the rows themselves.
#[must_use]
pub fn shared_receipts(project: &Project) -> Vec<SharedReceipt<'_>> {
    let shares = Shares::of(project);
    let rows = project.spending.iter().zip(shares.spending).enumerate();
    rows.filter(|(_, (row, (of, _)))| row.date <= project.period.to && of.of.len() > 1)
        .map(|(at, (row, (of, parts)))| SharedReceipt {
            evidence: row.evidence_number(at),
            parts: parts
                .into_iter()
                .filter_map(|part| {
                    let told = told(project, row, &of, &part.payer)?;
                    Some(SharedPart { payer: part.payer, amount: part.amount, told, admitted: part.admitted })
                })
                .collect(),
            row,
        })
        .collect()
}
