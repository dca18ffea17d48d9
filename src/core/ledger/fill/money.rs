//! Budget, spending, variances and costs per stem and hectare.

use std::collections::BTreeMap;

use crate::{
    estimate::{
        Estimate, Finding, Method,
        money::{
            Purse, approved, held_against_budget, per_hectare, per_living_stem, spans_years, spent,
            spent_to_date, unspent, variance, variance_share,
        },
        plantings::Planted,
        site,
    },
    ledger::{Ledger, Member, Series, catalogue, fill::FillContext},
    project::{BudgetSpan, Project, Spending, YearBudget, slug},
    source::Sources,
    units::{Money, Share, Unit},
};

pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>, survival: &Finding<Share>) {
    let project = context.project;
    let unit = Unit::Currency(project.identity.currency.clone());
    let mut money = |series: &Series, finding: Finding<Money>| {
        ledger.enter_named(series.named([]).measured_in(unit.clone()), finding);
    };
    let cash = spent(project, Purse::Cash, |_| true);
    let budget = approved(&project.budget, Purse::Cash);
    money(&catalogue::BUDGET, budget.clone());
    money(&catalogue::BUDGET_IN_KIND, approved(&project.budget, Purse::InKind));
    money(&catalogue::SPENT, cash.clone());
    money(&catalogue::SPENT_IN_KIND, spent(project, Purse::InKind, |_| true));
    let left = unspent(project);
    let overspent = left.as_ref().is_ok_and(|left| left.value < Money::ZERO);
    let named = catalogue::UNSPENT.named([]).overspent(overspent).measured_in(unit.clone());
    ledger.enter_named(named, left);
    let mut money = |series: &Series, finding: Finding<Money>| {
        ledger.enter_named(series.named([]).measured_in(unit.clone()), finding);
    };
    let held = held_against_budget(project, Purse::Cash, |_| true);
    if project.only_agreement().is_some() {
        money(&catalogue::SPENT_AGAINST_BUDGET, said(project, held.clone()));
    }
    money(&catalogue::VARIANCE, said(project, variance(&held, &budget)));
    let share = variance_share(&held, &budget, explain_beyond(project));
    ledger.enter_named(catalogue::VARIANCE_SHARE.named([]), said(project, share));
    let stems = context.log.of_area(None, Planted::total);
    // All cash to date made the stems that live.
    let to_date =
        if spans_years(project) { spent_to_date(project, Purse::Cash, |_| true) } else { cash.clone() };
    let method = match spans_years(project) {
        true => Method::PER_LIVING_STEM_TO_DATE,
        false => Method::PER_LIVING_STEM,
    };
    let cost = per_living_stem(&to_date, &stems, survival).map(|cost| Estimate { method, ..cost });
    ledger.enter_named(catalogue::COST_PER_LIVING_STEM.named([]).measured_in(unit.clone()), cost);
    let cost = per_hectare(&to_date, &site::area(&project.areas));
    ledger.enter_named(catalogue::COST_PER_HECTARE.named([]).measured_in(unit), cost);
    for (line, name) in lines(project) {
        enter_line(ledger, project, &line, &name);
    }
}

/// The share beyond which a variance needs a reason; an agreement's own tests say so of themselves.
fn explain_beyond(project: &Project) -> Option<f64> {
    project.money.explain_beyond.filter(|_| project.only_agreement().is_none())
}

/// With a note of whether the year's money is meant or all to date, where the two can differ.
fn said<Q>(project: &Project, finding: Finding<Q>) -> Finding<Q> {
    let differ = project.only_agreement().is_some() || spans_years(project);
    finding.map(|estimate| match differ {
        true => estimate.note(project.budget_span().words()),
        false => estimate,
    })
}

/// Budget lines and the lines of payments that stand on none, by slug, named as they were first written.
fn lines(project: &Project) -> BTreeMap<String, String> {
    let mut lines = BTreeMap::new();
    let budgeted = project.budget.iter().map(|line| &line.line);
    let paid = project.spending.iter().filter(|payment| match project.budget_span() {
        BudgetSpan::Year => project.period.holds(payment.counted_on),
        BudgetSpan::ToDate => payment.counted_on <= project.period.to,
    });
    for name in budgeted.chain(paid.map(|payment| &payment.line)) {
        lines.entry(slug(name)).or_insert_with(|| name.trim().to_owned());
    }
    lines
}

fn enter_line(ledger: &mut Ledger, project: &Project, line: &str, name: &str) {
    let unit = Unit::Currency(project.identity.currency.clone());
    let mut enter = |series: &Series, finding: Finding<Money>| {
        ledger.enter_named(series.named([Member::new(line, name)]).measured_in(unit.clone()), finding);
    };
    let budget = |purse| {
        let mut agreed = project.budget.iter().filter(|budget| slug(&budget.line) == line).peekable();
        // A payment on a line that was never agreed was still approved for nothing.
        let known = agreed.peek().is_some() || project.budget.is_empty();
        if known { approved(agreed, purse) } else { Ok(no_budget(project, line)) }
    };
    let of_line = |payment: &Spending| slug(&payment.line) == line;
    let paid = |purse| spent(project, purse, of_line);
    let held = held_against_budget(project, Purse::Cash, of_line);
    let agreed = budget(Purse::Cash);
    enter(&catalogue::BUDGET_LINE, agreed.clone());
    enter(&catalogue::SPENT_LINE, paid(Purse::Cash));
    enter(&catalogue::VARIANCE_LINE, said(project, variance(&held, &agreed)));
    if project.only_agreement().is_some() {
        enter(&catalogue::SPENT_AGAINST_BUDGET_LINE, said(project, held.clone()));
    }
    enter(&catalogue::BUDGET_LINE_IN_KIND, budget(Purse::InKind));
    enter(&catalogue::SPENT_LINE_IN_KIND, paid(Purse::InKind));
    let share = variance_share(&held, &agreed, explain_beyond(project));
    ledger.enter_named(catalogue::VARIANCE_LINE_SHARE.named([Member::new(line, name)]), said(project, share));
}

fn no_budget(project: &Project, line: &str) -> Estimate<Money> {
    let of_line = |one: &YearBudget| slug(&one.line.line) == line;
    let another_year = project
        .only_agreement()
        .is_some_and(|agreement| agreement.budget_on(project.period.to).iter().any(of_line));
    let says = if another_year { "a line of other years of the budget" } else { "not a line of the budget" };
    Estimate::counted(Money::ZERO, Method::MONEY_SUM, Sources::default()).note(says)
}
