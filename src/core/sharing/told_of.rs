//! Whose documents tell of rows that nobody pays for: what went wrong, conditions, work that is planned.
//!
//! A row that names agreements is theirs. Else its target says whose it is, else its ground; what went wrong on the whole site is told to all.

use crate::project::{
    Action, Agreement, AgreementKind, AreaId, Claims, Commitment, Payer, PlannedWork, Project,
};

/// Whether the documents of `agreement` tell of `row`.
#[must_use]
pub fn tells_of(agreement: &Agreement, row: &Action) -> bool {
    match (row.claims.is_empty(), &row.target, &row.area) {
        (false, _, _) => names(&row.claims, agreement),
        (true, Some(target), _) => asks(agreement, target),
        (true, None, area) => on_ground(agreement, area.as_ref()),
    }
}

/// Whether a condition is one of `agreement`: what names none is of the only offset.
#[must_use]
pub fn binds(project: &Project, agreement: &Agreement, row: &Commitment) -> bool {
    let offsets = || project.agreements.iter().filter(|one| one.kind == AgreementKind::Offset);
    match (row.claims.is_empty(), &row.target) {
        (false, _) => names(&row.claims, agreement),
        (true, Some(target)) => asks(agreement, target),
        (true, None) => agreement.kind == AgreementKind::Offset && offsets().count() == 1,
    }
}

/// Whether the documents of `agreement` tell of planned work.
#[must_use]
pub fn plans(agreement: &Agreement, row: &PlannedWork) -> bool {
    match row.claims.is_empty() {
        false => names(&row.claims, agreement),
        true => on_ground(agreement, row.area.as_ref()),
    }
}

fn names(claims: &Claims, agreement: &Agreement) -> bool {
    claims.0.iter().any(|(payer, _)| payer.is(&agreement.id))
}

fn asks(agreement: &Agreement, target: &str) -> bool {
    agreement.targets.iter().any(|one| one.id == *target)
}

fn on_ground(agreement: &Agreement, area: Option<&AreaId>) -> bool {
    area.is_none_or(|area| agreement.covers(area))
}

/// Those of `project` whose documents tell of `row`; none where nobody's do.
#[must_use]
pub fn told_to(project: &Project, row: &Action) -> Vec<Payer> {
    let those = project.agreements.iter().filter(|agreement| tells_of(agreement, row));
    those.map(|agreement| Payer::Agreement(agreement.id.clone())).collect()
}
