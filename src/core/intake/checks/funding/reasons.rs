//! Reasons that could be those of several agreements, of none, or of another than they name: what one funder was told is not for the others.

use crate::{
    intake::checks::funding::{name, payers, place},
    problem::{Funding, Place, Problem},
    project::{Payer, Project, Reason},
    sharing::{Shares, concerns},
};

pub(super) fn check(project: &Project, shares: &Shares, problems: &mut Vec<Problem>) {
    for reason in project.reasons.iter().filter(|_| project.agreements.len() > 1) {
        problems.extend(of_another(project, reason).or_else(|| of_nobody(project, shares, reason)));
    }
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

/// A reason for a target that the agreements which it names do not have.
fn of_another(project: &Project, reason: &Reason) -> Option<Problem> {
    let target = reason.target.as_ref()?;
    let asks = |agreement: &&crate::project::Agreement| agreement.targets.iter().any(|one| one.id == *target);
    let stranger = reason.claims.0.iter().find(|(payer, _)| match payer {
        Payer::Agreement(id) => !project.agreement(id).as_ref().is_some_and(asks),
        Payer::Own | Payer::Unclaimed => true,
    });
    let (named, _) = stranger?;
    let owner = project.agreements.iter().find(asks)?;
    let kind = Funding::ReasonOfAnother {
        target: target.clone(),
        owner: name(&owner.id),
        at: place(&owner.source),
        named: named.code().to_owned(),
    };
    Some(Problem::new(kind, Place::row(&reason.source).column("target")))
}

/// A reason that the documents of no agreement have.
fn of_nobody(project: &Project, shares: &Shares, reason: &Reason) -> Option<Problem> {
    let named = |payer: &Payer| matches!(payer, Payer::Agreement(_));
    let names = match reason.claims.is_empty() {
        true => {
            let asked = project.agreements.iter().any(|agreement| {
                let payer = Payer::Agreement(agreement.id.clone());
                let pays = || {
                    let line = reason.line.as_ref();
                    line.is_some_and(|line| shares.costs(project, &payer).any(|cost| cost.row.line == *line))
                };
                concerns(reason, agreement) || pays()
            });
            if asked {
                return None;
            }
            "names none"
        }
        false if reason.claims.0.iter().any(|(payer, _)| named(payer)) => return None,
        false => "is the landholder's own",
    };
    let about = reason.line.clone().or_else(|| reason.target.clone()).unwrap_or_default();
    let kind = Funding::ReasonOfNobody { about, names };
    Some(Problem::new(kind, Place::row(&reason.source).column("agreement")))
}
