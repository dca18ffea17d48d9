//! Budget, spending, variances and costs per stem and hectare.

use std::collections::BTreeMap;

use crate::{
    estimate::{
        Estimate, Finding, Method,
        money::{Purse, approved, per_hectare, per_living_stem, spent, unspent, variance, variance_share},
        plantings::Planted,
        site,
    },
    ledger::{FigureId, Ledger, fill::FillContext},
    project::{Project, slug},
    source::Sources,
    units::{Money, Share, Unit},
};

pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>, survival: &Finding<Share>) {
    let project = context.project;
    let unit = Unit::Currency(project.identity.currency.clone());
    let mut money = |id: &str, label: &str, finding: Finding<Money>| {
        ledger.enter(FigureId::fixed(id), label, unit.clone(), finding);
    };
    let cash = spent(project, Purse::Cash, |_| true);
    let budget = approved(&project.budget, Purse::Cash);
    money("budget.total", "Approved cash", budget.clone());
    money("budget.in-kind", "Approved in kind", approved(&project.budget, Purse::InKind));
    money("spend.total", "Cash spent in the period", cash.clone());
    money("spend.in-kind", "Given in kind in the period", spent(project, Purse::InKind, |_| true));
    money("spend.unspent", "Received and not spent", unspent(project));
    money("spend.total-variance", "Spent less approved", variance(&cash, &budget));
    let share = variance_share(&cash, &budget, project.money.explain_beyond);
    let label = "Spent less approved, as a share of approved";
    ledger.enter(FigureId::fixed("spend.total-variance-share"), label, Unit::Fraction, share);
    let stems = context.log.of_area(None, Planted::total);
    let cost = per_living_stem(&cash, &stems, survival);
    let label = "Cash spent for each living planted stem";
    ledger.enter(FigureId::fixed("spend.per-living-stem"), label, unit.clone(), cost);
    let cost = per_hectare(&cash, &site::area(&project.areas));
    ledger.enter(FigureId::fixed("spend.per-hectare"), "Cash spent for each plan hectare", unit, cost);
    for (line, name) in lines(project) {
        enter_line(ledger, project, &line, &name);
    }
}

/// Budget lines and the lines of payments that stand on none, by slug, named as they were first written.
fn lines(project: &Project) -> BTreeMap<String, String> {
    let mut lines = BTreeMap::new();
    let budgeted = project.budget.iter().map(|line| &line.line);
    let paid = project.spending.iter().filter(|payment| project.period.holds(payment.date));
    for name in budgeted.chain(paid.map(|payment| &payment.line)) {
        lines.entry(slug(name)).or_insert_with(|| name.trim().to_owned());
    }
    lines
}

fn enter_line(ledger: &mut Ledger, project: &Project, line: &str, name: &str) {
    let unit = Unit::Currency(project.identity.currency.clone());
    let mut enter = |stem: &str, what: &str, finding: Finding<Money>| {
        ledger.enter(FigureId::of(stem, line), format!("{what}, {name}"), unit.clone(), finding);
    };
    let budget = |purse| {
        let mut agreed = project.budget.iter().filter(|budget| slug(&budget.line) == line).peekable();
        // A payment on a line that was never agreed was still approved for nothing.
        let known = agreed.peek().is_some() || project.budget.is_empty();
        if known { approved(agreed, purse) } else { Ok(no_budget()) }
    };
    let paid = |purse| spent(project, purse, |payment| slug(&payment.line) == line);
    let (cash, agreed) = (paid(Purse::Cash), budget(Purse::Cash));
    enter("budget.line", "Approved cash", agreed.clone());
    enter("spend.line", "Cash spent in the period", cash.clone());
    enter("spend.variance", "Spent less approved", variance(&cash, &agreed));
    enter("budget.in-kind-line", "Approved in kind", budget(Purse::InKind));
    enter("spend.in-kind-line", "Given in kind in the period", paid(Purse::InKind));
    let share = variance_share(&cash, &agreed, project.money.explain_beyond);
    let label = format!("Spent less approved, as a share of approved, {name}");
    ledger.enter(FigureId::of("spend.variance-share", line), label, Unit::Fraction, share);
}

fn no_budget() -> Estimate<Money> {
    Estimate::counted(Money::ZERO, Method::MONEY_SUM, Sources::default()).note("not a line of the budget")
}
