//! Ground that two agreements report, and offset ground in a grant.

use crate::{
    geometry,
    intake::checks::funding::{name, place},
    problem::{Funding, Place, Problem},
    project::{Agreement, AgreementKind, Area, Project},
    units::number,
};

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    for area in &project.areas {
        let reporting: Vec<&Agreement> =
            project.agreements.iter().filter(|one| one.covers(&area.id)).collect();
        for (at, later) in reporting.iter().enumerate() {
            for earlier in &reporting[..at] {
                problems.extend(shared(area, earlier, later));
            }
        }
    }
}

fn shared(area: &Area, first: &Agreement, second: &Agreement) -> Option<Problem> {
    let hectares = number(geometry::area(&area.boundary).0 / 10_000.0, 2);
    let area = area.id.to_string();
    let at = |agreement: &Agreement| Place::row(&agreement.source).column("areas");
    if first.kind == second.kind {
        let by = format!("by {} here and by {} in {}", second.id, first.id, place(&first.source));
        let kind = Funding::GroundClaimedTwice { area, hectares, by };
        return Some(Problem::new(kind, at(second)));
    }
    let (offset, grant) = if first.kind == AgreementKind::Offset { (first, second) } else { (second, first) };
    if offset.stacking.is_some() {
        return None;
    }
    let kind = Funding::OffsetInGrant {
        area,
        hectares,
        offset: name(&offset.id),
        grant: format!("{} in {}", grant.id, place(&grant.source)),
    };
    Some(Problem::new(kind, at(offset)))
}
