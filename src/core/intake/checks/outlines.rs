//! Areas over one another, and stated hectares that the boundary does not bear out.

use geo::{BooleanOps as _, BoundingRect as _, Intersects as _};

use crate::{
    geometry,
    problem::{Ground, Place, Problem},
    project::{Area, Payer, Project},
    sharing::owner_of,
    units::Hectares,
};

/// Overlap that a shared fence line drawn twice explains, in hectares: ten square metres (common practice, no source).
const SHARED_LINE: f64 = 0.001;

/// Part by which stated and drawn hectares may differ without a word (common practice, no source).
const STATED: f64 = 0.05;

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
    for (at, one) in project.areas.iter().enumerate() {
        for other in &project.areas[at + 1..] {
            let near = match (one.boundary.bounding_rect(), other.boundary.bounding_rect()) {
                (Some(one), Some(other)) => one.intersects(&other),
                _ => false,
            };
            if !near {
                continue;
            }
            let shared = Hectares::from(geometry::area(&one.boundary.intersection(&other.boundary))).0;
            if shared > SHARED_LINE {
                let kind = Ground::Overlap {
                    one: one.id.to_string(),
                    other: other.id.to_string(),
                    hectares: shared,
                    reported: reported(project, one, other),
                };
                problems.push(Problem::new(kind, Place::row(&other.source).column("geometry")));
            }
        }
        let mapped = Hectares::from(geometry::area(&one.boundary)).0;
        if let Some(stated) = one.stated_hectares.filter(|stated| (stated - mapped).abs() > STATED * mapped) {
            let kind = Ground::HectaresDiffer { id: one.id.to_string(), stated, mapped };
            problems.push(Problem::new(kind, Place::row(&one.source).column("hectares")));
        }
    }
}
