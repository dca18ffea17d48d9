//! Areas over one another, and stated hectares that the boundary does not bear out.

use geo::{BooleanOps as _, BoundingRect as _, Intersects as _};

use crate::{
    geometry,
    problem::{Change, Ground, Place, Problem, SecondReading},
    project::{Area, Payer, Project},
    sharing::owner_of,
    units::{self, Hectares, listed},
};

/// Overlap that a shared fence line drawn twice explains, in hectares: ten square metres (common practice, no source).
const SHARED_LINE: f64 = 0.001;

/// Who reports each of two areas, where that is not the same agreement: the ground that they share is then claimed by both.
fn reported(project: &Project, one: &Area, other: &Area) -> String {
    let (first, second) = (owner_of(project, &one.id), owner_of(project, &other.id));
    let is_agreement = |payer: &Payer| matches!(payer, Payer::Agreement(_));
    match first != second && (is_agreement(&first) || is_agreement(&second)) {
        true => format!(": {} is reported by {}, {} by {}", one.id, first.code(), other.id, second.code()),
        false => String::new(),
    }
}

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    for (at, area) in project.areas.iter().enumerate() {
        problems.extend(overlap(project, area, &project.areas[..at]));
        let mapped = Hectares::from(geometry::area(&area.boundary)).0;
        if let Some(stated) = area.stated_hectares.filter(|stated| units::differ(*stated, mapped)) {
            let kind = Ground::HectaresDiffer { id: area.id.to_string(), stated, mapped };
            let heading = area.stated_as.as_deref().unwrap_or("hectares");
            problems.push(Problem::new(kind, Place::row(&area.source).column(heading)));
        }
    }
}

/// The ground that `area` shares with areas before it, told once.
fn overlap(project: &Project, area: &Area, before: &[Area]) -> Option<Problem> {
    let about = area.boundary.bounding_rect()?;
    let near =
        before.iter().filter(|one| one.boundary.bounding_rect().is_some_and(|one| one.intersects(&about)));
    let shared = near.filter_map(|one| {
        let shared = Hectares::from(geometry::area(&one.boundary.intersection(&area.boundary))).0;
        (shared > SHARED_LINE).then_some((one, shared))
    });
    let shared: Vec<(&Area, f64)> = shared.collect();
    let shares = match shared.as_slice() {
        [] => return None,
        [(one, hectares)] => format!("{} and {} share {hectares:.3} ha", one.id, area.id),
        several => {
            let each = several.iter().map(|(one, hectares)| format!("{hectares:.3} ha with {}", one.id));
            format!("{} shares {}", area.id, listed(&each.collect::<Vec<_>>()))
        }
    };
    let reported = shared.iter().map(|(one, _)| reported(project, one, area)).collect();
    let cut = SecondReading::of(Change::CutBack, [&area.source]);
    let kind = Ground::Overlap { shares, reported };
    Some(Problem::new(kind, Place::row(&area.source).column("geometry")).or(cut))
}
