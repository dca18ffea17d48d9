//! The part of an agreement's budget that is asked for: of the year, to date, of the whole life, as it was first approved.

use crate::{
    project::{Agreement, BudgetLine, BudgetSpan, Period},
    sharing::FinancialYears,
};

/// Which part of the budget is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BudgetOf {
    /// The financial years that the reporting period begins or holds.
    Year,
    /// All years up to the period's end, and whatever is of the whole life.
    ToDate,
    /// The whole life, as it stands approved at the period's end.
    WholeLife,
    /// The whole life, as it was first approved.
    AtFirst,
}

impl From<BudgetSpan> for BudgetOf {
    /// What spending of this span is held against.
    fn from(span: BudgetSpan) -> BudgetOf {
        match span {
            BudgetSpan::Year => BudgetOf::Year,
            BudgetSpan::ToDate => BudgetOf::ToDate,
        }
    }
}

/// The lines of that part of the budget of `agreement`, which reports on `period`.
#[must_use]
pub fn budget_lines(agreement: &Agreement, period: Period, of: BudgetOf) -> Vec<BudgetLine> {
    let years = FinancialYears::of(agreement, period);
    let (from, to) = (years.year(period.from), years.year(period.to));
    let all = match of {
        BudgetOf::AtFirst => agreement.budget.clone(),
        _ => agreement.budget_on(period.to),
    };
    let fits = |year: i32| match of {
        BudgetOf::Year => (from..=to).contains(&year),
        BudgetOf::ToDate => year <= to,
        BudgetOf::WholeLife | BudgetOf::AtFirst => true,
    };
    all.into_iter().filter(|line| line.year.is_none_or(fits)).map(|line| line.line).collect()
}
