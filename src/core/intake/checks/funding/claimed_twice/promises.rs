//! One contribution that was promised to two agreements.

use std::collections::BTreeSet;

use crate::{
    intake::{
        checks::funding::{place, sum},
        suppliers::{one_supplier, supplier},
    },
    problem::{Funding, Place, Problem},
    project::{Agreement, Contribution, Project},
    sharing::FinancialYears,
};

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let all = project.agreements.iter().flat_map(|of| of.contributions.iter().map(move |one| (of, one)));
    let all: Vec<(&Agreement, &Contribution)> = all.collect();
    for (at, (later, promise)) in all.iter().enumerate() {
        let is_it = |(first, earlier): &&(&Agreement, &Contribution)| {
            first.id != later.id
                && (earlier.in_kind, earlier.year, earlier.promised)
                    == (promise.in_kind, promise.year, promise.promised)
                && one_giver(&earlier.who, &promise.who)
        };
        let Some((first, earlier)) = all[..at].iter().find(is_it) else { continue };
        let otherwise = match earlier.who == promise.who {
            true => String::new(),
            false => format!(" as “{}”", earlier.who),
        };
        let kind = Funding::ContributionPromisedTwice {
            who: promise.who.clone(),
            promised: sum(project, promise.promised),
            kind: if promise.in_kind { "in kind" } else { "in cash" },
            year: FinancialYears::of(later, project.period).words(promise.year),
            by: format!(
                "to {} here and to {}{} in {}",
                later.id,
                first.id,
                otherwise,
                place(&earlier.source)
            ),
        };
        problems.push(Problem::new(kind, Place::row(&promise.source).column("promised")));
    }
}

/// Whether two givers may be one: the same name but for a slip, or the same words in another order or with others beside them.
pub(super) fn one_giver(one: &str, other: &str) -> bool {
    let words = |name: &str| -> BTreeSet<String> {
        // What is left of `landholder's` behind its apostrophe says nothing.
        supplier(name).split(' ').filter(|word| word.len() > 1).map(str::to_owned).collect()
    };
    let (mine, theirs) = (words(one), words(other));
    let fewer = mine.len().min(theirs.len());
    one_supplier(one, other) || fewer > 1 && (mine.is_subset(&theirs) || theirs.is_subset(&mine))
}
