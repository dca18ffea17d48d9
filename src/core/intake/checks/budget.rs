//! Spending that no budget line foresaw, and tax that is more than what it is in.

use crate::{
    intake::nearest,
    problem::{Evidence, Place, Problem},
    project::Project,
};

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    for spending in &project.spending {
        let known = project.budget.iter().any(|budget| nearest::same(&budget.line, &spending.line));
        if !project.budget.is_empty() && !known {
            let nearest =
                nearest::nearest(&spending.line, project.budget.iter().map(|budget| budget.line.as_str()));
            let kind = Evidence::NoBudgetLine { line: spending.line.clone(), nearest };
            problems.push(Problem::new(kind, Place::row(&spending.source).column("line")));
        }
        if spending.tax.0.abs() > spending.amount.0.abs() {
            let (tax, amount) = (spending.tax.0.to_string(), spending.amount.0.to_string());
            problems.push(Problem::new(
                Evidence::TaxExceedsAmount { tax, amount },
                Place::row(&spending.source).column("tax"),
            ));
        }
    }
}
