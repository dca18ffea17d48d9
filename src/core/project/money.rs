//! The budget and what was spent of it.

use chrono::NaiveDate;

use crate::{
    project::{Cell, Column, TableRow, VolunteerRate},
    source::Row,
    units::Money,
};

/// One line of the agreed budget.
#[derive(Debug, Clone, PartialEq)]
pub struct BudgetLine {
    /// The line's name.
    pub line: String,
    /// Cash.
    pub cash: Money,
    /// In kind.
    pub in_kind: Money,
    /// The line of `project.toml` where it stands.
    pub source: Row,
}

/// Whether money is acquitted without or with the tax in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum TaxBasis {
    /// Tax excluded: for those who claim it back.
    #[default]
    Excluded,
    /// Tax included: for those who can't.
    Included,
}

/// How money is acquitted.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MoneyRules {
    /// Without or with tax.
    pub acquit: TaxBasis,
    /// What an hour of volunteers is worth, and who says so.
    pub volunteer_rate: Option<VolunteerRate>,
    /// Money received from the funder to the period's end; `None` takes the budget's cash.
    pub received: Option<Money>,
    /// Share of a line beyond which a variance needs a reason, as in the agreement.
    pub explain_beyond: Option<f64>,
}

/// One payment.
#[derive(Debug, Clone, PartialEq)]
pub struct Spending {
    /// The day on the receipt.
    pub date: NaiveDate,
    /// The budget line.
    pub line: String,
    /// The amount as on the receipt, tax included.
    pub amount: Money,
    /// The tax in it.
    pub tax: Money,
    /// Who was paid.
    pub payee: Option<String>,
    /// The receipt's number or file.
    pub receipt: Option<String>,
    /// Whether it was given in kind; no cash left the account.
    pub in_kind: bool,
    /// A note.
    pub note: Option<String>,
    /// The row of the table.
    pub source: Row,
}

impl Spending {
    /// The amount that counts under `basis`.
    #[must_use]
    pub fn counted(&self, basis: TaxBasis) -> Money {
        match basis {
            TaxBasis::Excluded => self.amount - self.tax,
            TaxBasis::Included => self.amount,
        }
    }
}

impl TableRow for Spending {
    const TABLE: &'static str = "spending";
    const COLUMNS: &'static [Column<Spending>] = &[
        Column::needed("date", |row| row.date.into()),
        Column::needed("line", |row| (&row.line).into()),
        Column::needed("amount", |row| row.amount.into()),
        Column::optional("tax", |row| row.tax.into()),
        Column::optional("in_kind", |row| Cell::yes(row.in_kind)),
        Column::optional("payee", |row| row.payee.as_ref().into()),
        Column::optional("receipt", |row| row.receipt.as_ref().into()),
        Column::optional("note", |row| row.note.as_ref().into()),
    ];
}
