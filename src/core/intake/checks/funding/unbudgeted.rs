//! Money spent on lines that the agreement's budget does not have, in any year.

use std::collections::BTreeMap;

use crate::{
    intake::{
        checks::funding::{name, rows_of, sum},
        nearest::nearest,
    },
    problem::{Funding, Place, Problem},
    project::{Payer, Project, slug},
    sharing::{Cost, Shares},
    units::Money,
};

pub(super) fn check(project: &Project, shares: &Shares, problems: &mut Vec<Problem>) {
    for agreement in project.agreements.iter().filter(|one| !one.budget.is_empty()) {
        let payer = Payer::Agreement(agreement.id.clone());
        let until = agreement.period_beside(project.period).to;
        let budget = agreement.budget_on(until);
        let known = |line: &str| budget.iter().any(|one| slug(&one.line.line) == slug(line));
        let mut lines: BTreeMap<String, Vec<Cost<'_>>> = BTreeMap::new();
        for cost in shares.costs(project, &payer) {
            if cost.admitted && !cost.row.in_kind && cost.day <= until && !known(&cost.row.line) {
                lines.entry(slug(&cost.row.line)).or_default().push(cost);
            }
        }
        for costs in lines.values() {
            let Some(first) = costs.first() else { continue };
            let all: Money = costs.iter().map(|cost| cost.amount).sum();
            let kind = Funding::LineWithoutBudget {
                sum: sum(project, all),
                agreement: name(&agreement.id),
                line: first.row.line.trim().to_owned(),
                rows: rows_of(costs.iter().map(|cost| &cost.row.source)),
                nearest: nearest(&first.row.line, budget.iter().map(|one| one.line.line.as_str())),
            };
            problems.push(Problem::new(kind, Place::row(&first.row.source).column("line")));
        }
    }
}
