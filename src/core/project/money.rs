//! The budget and what was spent of it.

use chrono::NaiveDate;

use crate::{
    project::{Cell, Claims, Column, TableRow, VolunteerRate},
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

impl MoneyRules {
    /// Share of a line beyond which a variance needs a reason where nothing says (common practice, no source).
    pub const USUAL_BEYOND: f64 = 0.10;

    /// The share of a line beyond which a variance needs a reason, by the folder's setting or as is usual.
    #[must_use]
    pub fn beyond(&self) -> f64 {
        self.explain_beyond.unwrap_or(MoneyRules::USUAL_BEYOND)
    }
}

/// One payment.
#[derive(Debug, Clone, PartialEq)]
pub struct Spending {
    /// The day on the receipt.
    pub date: NaiveDate,
    /// The day of the invoice, where that is another.
    pub invoiced: Option<NaiveDate>,
    /// The day of delivery, where that is another.
    pub delivered: Option<NaiveDate>,
    /// The budget line.
    pub line: String,
    /// The amount as on the receipt, tax included.
    pub amount: Money,
    /// The tax in it; `None` where it is not recorded.
    pub tax: Option<Money>,
    /// Who was paid.
    pub payee: Option<String>,
    /// The receipt's number or file.
    pub receipt: Option<String>,
    /// What the whole receipt comes to, tax included, where this row is a part of it.
    pub receipt_total: Option<Money>,
    /// Whether it was given in kind; no cash left the account.
    pub in_kind: bool,
    /// A note.
    pub note: Option<String>,
    /// The agreements that it names.
    pub claims: Claims,
    /// The day that counts: as the agreement that is seen says, else that of payment.
    pub counted_on: NaiveDate,
    /// The number under which its receipt is kept, the same in every document; `None` where its place in the table is its number.
    pub evidence: Option<String>,
    /// How the part of an agreement was worked out, where this is a part of a receipt.
    pub shared: Option<String>,
    /// Where it stands in the whole folder, where this is the part of one agreement.
    pub original: Option<String>,
    /// The row of the table.
    pub source: Row,
}

impl Spending {
    /// The number of its receipt, which stands at this place of the table: the table's own, else by its place. Rows are added below, so it stays.
    #[must_use]
    pub fn evidence_number(&self, at: usize) -> String {
        self.evidence.clone().unwrap_or_else(|| format!("E{}", at + 1))
    }

    /// The amount that counts under `basis`.
    #[must_use]
    pub fn counted(&self, basis: TaxBasis) -> Money {
        match basis {
            TaxBasis::Excluded => self.amount - self.tax.unwrap_or_default(),
            TaxBasis::Included => self.amount,
        }
    }
}

/// How many payments tell the tax in them, and how many there are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TaxRecorded {
    /// Those that do.
    pub recorded: usize,
    /// All.
    pub of: usize,
}

impl TaxRecorded {
    /// Of `payments`.
    pub fn of<'a>(payments: impl Iterator<Item = &'a Spending>) -> TaxRecorded {
        payments.fold(TaxRecorded { recorded: 0, of: 0 }, |so_far, payment| TaxRecorded {
            recorded: so_far.recorded + usize::from(payment.tax.is_some()),
            of: so_far.of + 1,
        })
    }

    /// Whether none of them does.
    #[must_use]
    pub fn nowhere(self) -> bool {
        self.recorded == 0 && self.of > 0
    }

    /// Those that don't, as part of a sentence; `None` where all do.
    #[must_use]
    pub fn unrecorded(self) -> Option<String> {
        (self.recorded < self.of).then(|| {
            format!("{} of {} payments record no tax and count as paid", self.of - self.recorded, self.of)
        })
    }
}

impl TableRow for Spending {
    const TABLE: &'static str = "spending";
    const COLUMNS: &'static [Column<Spending>] = &[
        Column::needed("date", |row| row.date.into()),
        Column::needed("line", |row| (&row.line).into()),
        Column::needed("amount", |row| row.amount.into()),
        Column::taken_up("money_in"),
        Column::optional("tax", |row| row.tax.into()),
        Column::optional("in_kind", |row| Cell::yes(row.in_kind)),
        Column::optional("payee", |row| row.payee.as_ref().into()),
        Column::optional("receipt", |row| row.receipt.as_ref().into()),
        Column::optional("note", |row| row.note.as_ref().into()),
        Column::where_used("invoiced", |row| row.invoiced.into()),
        Column::where_used("delivered", |row| row.delivered.into()),
        Column::where_used("receipt_total", |row| row.receipt_total.into()),
        Column::where_used("evidence", |row| row.evidence.as_ref().into()),
        Column::where_used("shared", |row| row.shared.as_ref().into()),
        Column::where_used("original_row", |row| row.original.as_ref().into()),
        Column::where_used("agreement", |row| (&row.claims).into()),
    ];
}
