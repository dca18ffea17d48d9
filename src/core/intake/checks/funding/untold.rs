//! What went wrong and conditions that name no agreement: told to all, or in no document.

use crate::{
    intake::checks::funding::payers,
    problem::{Funding, Place, Problem},
    project::{Payer, Project},
    sharing::{binds, told_to},
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
