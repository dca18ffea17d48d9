//! One contribution that was promised to two agreements.

use std::collections::BTreeMap;

use crate::{
    intake::{
        checks::funding::{place, sum},
        suppliers::supplier,
    },
    problem::{Funding, Place, Problem},
    project::{Agreement, Contribution, Project},
    sharing::FinancialYears,
};

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let mut alike: BTreeMap<_, Vec<(&Agreement, &Contribution)>> = BTreeMap::new();
    for agreement in &project.agreements {
        for promise in &agreement.contributions {
            let key = (supplier(&promise.who), promise.in_kind, promise.year, promise.promised);
            alike.entry(key).or_default().push((agreement, promise));
        }
    }
    for rows in alike.values() {
        let [(first, earlier), rest @ ..] = rows.as_slice() else { continue };
        let Some((later, promise)) = rest.iter().find(|(one, _)| one.id != first.id) else { continue };
        let kind = Funding::ContributionPromisedTwice {
            who: promise.who.clone(),
            promised: sum(project, promise.promised),
            kind: if promise.in_kind { "in kind" } else { "in cash" },
            year: FinancialYears::of(later, project.period).words(promise.year),
            by: format!("to {} here and to {} in {}", later.id, first.id, place(&earlier.source)),
        };
        problems.push(Problem::new(kind, Place::row(&promise.source).column("promised")));
    }
}
