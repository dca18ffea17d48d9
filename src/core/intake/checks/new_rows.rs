//! Where new rows are asked for: in areas that there are, on ground that is not planted; and whether so many stems can be enough.

use crate::{
    intake::nearest::nearest,
    problem::{Place, Problem, Records, Settings},
    project::{AreaId, Bound, PlantingDesign, Project, Target},
    units::{Hectares, SquareMetres, day, whole},
};

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let Some(design) = &project.design else { return };
    for name in design.areas.iter().flatten() {
        let place = Place::file("project.toml").column("rows.areas");
        match project.areas.iter().find(|area| area.id.is_called(&name.0)) {
            None => {
                let known = project.areas.iter().map(|area| &*area.id.0);
                let nearest = nearest(&name.0, known);
                let kind = Records::IdUnknown { what: "area", found: name.to_string(), nearest };
                problems.push(Problem::new(kind, place));
            }
            Some(area) => problems.extend(planted(project, &area.id).map(|kind| Problem::new(kind, place))),
        }
    }
    if project.areas.iter().any(|area| design.asks_for(&area.id) && planted(project, &area.id).is_none()) {
        problems.extend(too_few(project, design));
    }
}

fn planted(project: &Project, area: &AreaId) -> Option<Records> {
    let here = || project.plantings_to_date().filter(|planting| &planting.area == area);
    let stems: u64 = here().map(|planting| planting.stems.0).sum();
    let first = here().map(|planting| planting.date).min()?;
    (stems > 0).then(|| Records::PlantedAlready {
        area: area.to_string(),
        stems: whole(stems),
        first: day(first),
    })
}

/// A density that the design can't reach, if no more live than the target on survival asks.
fn too_few(project: &Project, design: &PlantingDesign) -> Option<Problem> {
    let stems = 1.0 / Hectares::from(SquareMetres(design.spacing.0 * design.stem_spacing.0)).0;
    let asked = |target: &&Target| match (&target.measure, target.bound) {
        (measure, Bound::AtLeast(least)) if measure.is_density() => Some(least),
        _ => None,
    };
    let density = project.targets.iter().filter(|target| asked(target).is_some());
    let density = density
        .max_by(|one, other| asked(one).partial_cmp(&asked(other)).unwrap_or(std::cmp::Ordering::Equal))?;
    let (survival, lives) = design.survival_beside(&project.targets, density)?;
    let least = asked(&density)?;
    let living = stems * lives;
    (living < least).then(|| {
        let kind = Settings::DesignTooThin {
            spacing: design.spacing.0,
            stem_spacing: design.stem_spacing.0,
            stems: stems.round() as u64,
            lives: (100.0 * lives).round(),
            survival: survival.id.clone(),
            living: living.floor() as u64,
            density: density.id.clone(),
            least,
            reach: (10.0 * 10_000.0 * lives / (least * design.spacing.0)).floor() / 10.0,
        };
        Problem::new(kind, Place::file("project.toml").column("rows.stem_spacing_m"))
    })
}
