//! Reasons that could be those of several agreements: what one funder was told is not for the others.

use crate::{
    intake::checks::funding::payers,
    problem::{Funding, Place, Problem},
    project::{Payer, Project},
    sharing::concerns,
};

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    for reason in project.reasons.iter().filter(|reason| reason.claims.is_empty()) {
        let whose: Vec<Payer> = project
            .agreements
            .iter()
            .filter(|agreement| concerns(reason, agreement))
            .map(|agreement| Payer::Agreement(agreement.id.clone()))
            .collect();
        if whose.len() > 1 {
            let about = reason.line.clone().or_else(|| reason.target.clone()).unwrap_or_default();
            let kind = Funding::ReasonOfSeveral { about, payers: payers(&whose) };
            problems.push(Problem::new(kind, Place::row(&reason.source).column("agreement")));
        }
    }
}
