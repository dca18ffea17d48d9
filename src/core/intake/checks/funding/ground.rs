//! Ground that two agreements report, offset ground in a grant, and stems of an agreement on ground that it does not report.

use crate::{
    geometry,
    intake::checks::funding::{name, place},
    problem::{Funding, Place, Problem},
    project::{Agreement, AgreementKind, Area, AreaId, Payer, Project},
    sharing::Shares,
    units::{number, whole},
};

pub(super) fn check(project: &Project, shares: &Shares, problems: &mut Vec<Problem>) {
    for (row, of) in project.plantings.iter().zip(&shares.plantings) {
        let Payer::Agreement(id) = of.owner() else { continue };
        if let Some(agreement) = project.agreement(id).filter(|agreement| !agreement.covers(&row.area)) {
            let kind = Funding::StemsOffGround {
                stems: whole(row.stems.0),
                area: row.area.to_string(),
                agreement: name(id),
                at: place(&agreement.source),
            };
            problems.push(Problem::new(kind, Place::row(&row.source).column("agreement")));
        }
    }
    mixed(project, problems);
    met_by_grants(project, shares, problems);
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

/// Stems, work and costs whose row says that an offset and a grant bear them together: a condition is met at the cost of who must meet it.
fn mixed(project: &Project, problems: &mut Vec<Problem>) {
    let stems = project
        .plantings
        .iter()
        .map(|row| (&row.claims, &row.source, format!("a planting of {} stems", whole(row.stems.0))));
    let work = project.works.iter().map(|row| (&row.claims, &row.source, format!("work ({})", row.task)));
    let costs =
        project.spending.iter().map(|row| (&row.claims, &row.source, format!("a cost ({})", row.line)));
    for (claims, source, what) in stems.chain(work).chain(costs) {
        let of_kind = |kind: AgreementKind| {
            claims.0.iter().find_map(|(payer, _)| match payer {
                Payer::Agreement(id) => project.agreement(id).filter(|one| one.kind == kind),
                _ => None,
            })
        };
        let (Some(offset), Some(grant)) = (of_kind(AgreementKind::Offset), of_kind(AgreementKind::Grant))
        else {
            continue;
        };
        if offset.stacking.is_some() {
            continue;
        }
        let share = claims.0.iter().map(|(payer, share)| format!("{} {}", payer.code(), share.normalize()));
        let kind = Funding::OffsetAndGrantShare {
            what,
            offset: name(&offset.id),
            grant: name(&grant.id),
            share: share.collect::<Vec<_>>().join("; "),
        };
        problems.push(Problem::new(kind, Place::row(source).column("agreement")));
    }
}

/// What an offset counts and a grant pays for: targets and supported ground of an offset on ground that a grant reports, work on an offset's
/// ground that a grant bears alone. A condition is met by what its holder does beyond what others pay.
fn met_by_grants(project: &Project, shares: &Shares, problems: &mut Vec<Problem>) {
    let grant_of = |area: &AreaId| {
        let mut grants = project.agreements.iter().filter(|one| one.kind == AgreementKind::Grant);
        grants.find(|one| one.areas.is_some() && one.covers(area))
    };
    let offsets = project.agreements.iter();
    for offset in offsets.filter(|one| one.kind == AgreementKind::Offset && one.stacking.is_none()) {
        let mut say = |what: String, grant: &Agreement, at: Place| {
            let grant = format!("{} in {}", grant.id, place(&grant.source));
            problems
                .push(Problem::new(Funding::OffsetMetByGrant { what, offset: name(&offset.id), grant }, at));
        };
        for target in &offset.targets {
            if let Some((area, grant)) = target.area.as_ref().and_then(|area| Some((area, grant_of(area)?))) {
                say(
                    format!("the target `{}` stands on {area}", target.id),
                    grant,
                    Place::row(&target.source),
                );
            }
        }
        for area in &offset.supports {
            if let Some(grant) = grant_of(area) {
                say(
                    format!("{area} is under `supports`"),
                    grant,
                    Place::row(&offset.source).column("supports"),
                );
            }
        }
        for (work, of) in project.works.iter().zip(&shares.works) {
            let on_its_ground =
                work.area.as_ref().is_some_and(|area| offset.areas.is_some() && offset.covers(area));
            let Payer::Agreement(id) = of.owner() else { continue };
            let grant =
                project.agreement(id).filter(|one| one.kind == AgreementKind::Grant && of.of.len() == 1);
            if let Some(grant) = grant.filter(|_| on_its_ground) {
                let area = work.area.as_ref().map(ToString::to_string).unwrap_or_default();
                let what = format!("work ({}) was done on {area}", work.task);
                say(what, grant, Place::row(&work.source).column("agreement"));
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
