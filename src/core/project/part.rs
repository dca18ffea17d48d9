//! What a part of a folder tells of rows that it does not hold: costs that are not charged to it, and what was bought together with others.

use chrono::NaiveDate;

use crate::{project::Asset, source::Row, units::Money};

/// A cost that is an agreement's by its row or by a rule, and that is not charged to it for its day.
#[derive(Debug, Clone, PartialEq)]
pub struct NotCharged {
    /// The day that would count.
    pub on: NaiveDate,
    /// The line of the budget.
    pub line: String,
    /// Who was paid.
    pub payee: Option<String>,
    /// The receipt.
    pub receipt: Option<String>,
    /// The sum, as the agreement counts sums.
    pub amount: Money,
    /// Whether it was given in kind.
    pub in_kind: bool,
    /// Why it is not charged.
    pub why: String,
    /// The row of the whole folder: `spending.csv row 23`.
    pub at: String,
    /// Where it is told.
    pub source: Row,
}

/// Something that several paid for, and what of its price one of them bore.
#[derive(Debug, Clone, PartialEq)]
pub struct AssetShare {
    /// What was bought, as the register has it that lists it.
    pub asset: Asset,
    /// Whether that is the register of the agreement itself.
    pub own: bool,
    /// What of the price it bore, tax as in the price.
    pub share: Money,
}
