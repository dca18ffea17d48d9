//! What went wrong and conditions: told to all, in no document, or not told to the one whose ground it was on.

use crate::{
    intake::checks::funding::{name, payers, place},
    problem::{Funding, Place, Problem},
    project::{Action, Payer, Project},
    sharing::{binds, owner_of, told_to},
    units::day,
};

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    if project.agreements.len() < 2 {
        return;
    }
    for row in project.actions.iter().filter(|row| row.claims.is_empty()) {
        let told = told_to(project, row);
        let what = format!("the {} of {}", row.occasion.words(), day(row.date));
        let kind = match (&row.area, &row.target) {
            _ if told.is_empty() => {
                let area = row.area.as_ref().map(|area| format!(" on {area}")).unwrap_or_default();
                Funding::InNoDocument { what: format!("{what}{area}"), but: "the statement by source has it" }
            }
            (None, None) => Funding::ToldToAll { what, payers: payers(&told) },
            _ => continue,
        };
        problems.push(Problem::new(kind, Place::row(&row.source).column("agreement")));
    }
    for row in project.actions.iter().filter(|row| !row.claims.is_empty()) {
        problems.extend(elsewhere(project, row));
    }
    let named = |payer: &Payer| matches!(payer, Payer::Agreement(_));
    for row in &project.commitments {
        let own = !row.claims.is_empty() && !row.claims.0.iter().any(|(payer, _)| named(payer));
        if !own && !project.agreements.iter().any(|agreement| binds(project, agreement, row)) {
            let what = format!("condition {}", row.number);
            let kind = Funding::InNoDocument { what, but: "it is shown to nobody" };
            problems.push(Problem::new(kind, Place::row(&row.source).column("agreement")));
        }
    }
}

/// What names agreements and lies on the ground of one that is not among them; or is the landholder's own, and lies nobody knows where.
fn elsewhere(project: &Project, row: &Action) -> Option<Problem> {
    let what = format!("the {} of {}", row.occasion.words(), day(row.date));
    let at = Place::row(&row.source).column("agreement");
    let Some(area) = &row.area else {
        let own = row.claims.0.iter().all(|(payer, _)| *payer == Payer::Own);
        let all = project.agreements.iter().map(|agreement| Payer::Agreement(agreement.id.clone()));
        let all: Vec<Payer> = all.collect();
        return own.then(|| Problem::new(Funding::OwnWithoutArea { what, payers: payers(&all) }, at));
    };
    let Payer::Agreement(owner) = owner_of(project, area) else { return None };
    if row.claims.0.iter().any(|(payer, _)| payer.is(&owner)) {
        return None;
    }
    let kind = Funding::GroundOfAnother {
        what,
        named: payers(row.claims.0.iter().map(|(payer, _)| payer)),
        area: area.to_string(),
        at: project.agreement(&owner).map(|agreement| place(&agreement.source)).unwrap_or_default(),
        owner: name(&owner),
    };
    Some(Problem::new(kind, at))
}
