//! The spending that stands beside the budget: of the year where the budget is by year, else to date.

use crate::ledger::{Ledger, Series, catalogue};

/// The series of what was spent, as the budget is held against it, and the words that say which.
#[derive(Debug, Clone, Copy)]
pub struct Held {
    /// Cash on all lines.
    pub spent: &'static Series,
    /// Cash on one.
    pub spent_line: &'static Series,
    /// In kind on all lines.
    pub in_kind: &'static Series,
    /// What the budget is called.
    pub budget_words: &'static str,
    /// What the spending is called.
    pub spent_words: &'static str,
    /// `to date`, `this year`, or nothing where there is but one period.
    pub span: &'static str,
}

impl Ledger {
    /// Which spending stands beside the budget.
    #[must_use]
    pub fn held(&self) -> Held {
        let has = |series: &Series| self.figure(series.whole().as_str()).is_some();
        let year = Held {
            spent: &catalogue::SPENT,
            spent_line: &catalogue::SPENT_LINE,
            in_kind: &catalogue::SPENT_IN_KIND,
            budget_words: "Budget this year",
            spent_words: "Spent this year",
            span: "this year",
        };
        let to_date = Held {
            spent: &catalogue::SPENT_TO_DATE,
            spent_line: &catalogue::SPENT_TO_DATE_LINE,
            in_kind: &catalogue::SPENT_IN_KIND_TO_DATE,
            budget_words: "Budget to date",
            spent_words: "Spent to date",
            span: "to date",
        };
        if has(&catalogue::BUDGET_YEAR) {
            year
        } else if has(&catalogue::BUDGET_TO_DATE) {
            to_date
        } else if has(&catalogue::SPENT_TO_DATE) {
            Held { budget_words: "Budget, whole term", ..to_date }
        } else {
            Held { budget_words: "Budget", spent_words: "Spent", span: "", ..year }
        }
    }
}
