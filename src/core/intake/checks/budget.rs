//! Spending that no budget line foresaw, and tax that is more than what it is in.

use rust_decimal::Decimal;

use crate::{
    intake::nearest,
    problem::{Evidence, Place, Plausibility, Problem},
    project::{Project, Spending},
    units::{Money, percent},
};

/// The highest standard rate of a tax on sales, per cent of the price without it: Hungary's 27 (European Commission, *VAT rates
/// applied in the Member States*; from memory). Of the price with it that is 27 in 127.
const HIGHEST_RATE: i64 = 27;

/// What rounding of every line of a receipt may add to its tax, in the currency (common practice, no source).
const ROUNDED: Decimal = Decimal::from_parts(5, 0, 0, false, 2);

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    for spending in &project.spending {
        let known = project.budget.iter().any(|budget| nearest::same(&budget.line, &spending.line));
        // The budget of an agreement is of several years and payers: `funding` holds it against what each bears.
        if project.agreements.is_empty() && !project.budget.is_empty() && !known {
            let nearest =
                nearest::nearest(&spending.line, project.budget.iter().map(|budget| budget.line.as_str()));
            let kind = Evidence::NoBudgetLine { line: spending.line.clone(), nearest };
            problems.push(Problem::new(kind, Place::row(&spending.source).column("line")));
        }
        problems.extend(tax(spending));
    }
}

/// Tax that no rate makes of the amount that it is in.
fn tax(spending: &Spending) -> Option<Problem> {
    let (Money(tax), Money(amount)) = (spending.tax?, spending.amount);
    let place = || Place::row(&spending.source).column("tax");
    let (of_tax, of_amount) = (tax.to_string(), amount.to_string());
    let most = amount.abs() * Decimal::from(HIGHEST_RATE) / Decimal::from(100 + HIGHEST_RATE) + ROUNDED;
    if tax.is_zero() || tax.abs() <= most && tax.is_sign_negative() == amount.is_sign_negative() {
        None
    } else if tax.abs() > amount.abs() {
        Some(Problem::new(Evidence::TaxExceedsAmount { tax: of_tax, amount: of_amount }, place()))
    } else if tax.is_sign_negative() != amount.is_sign_negative() {
        Some(Problem::new(Plausibility::TaxAgainstAmount { tax: of_tax, amount: of_amount }, place()))
    } else {
        let share = percent(Money(tax).number() / spending.amount.number(), 1);
        Some(Problem::new(Plausibility::TaxBeyondShare { tax: of_tax, amount: of_amount, share }, place()))
    }
}
