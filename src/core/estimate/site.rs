//! Areas, perimeters and lengths on the ellipsoid.

use crate::{
    estimate::{Estimate, Finding, Gap, Method},
    geometry,
    project::{Area, Feature, FeatureKind, Project, Shape, Standing},
    source::Sources,
    units::{Hectares, Metres, number},
};

/// Plan area of `areas` together, holes taken out.
///
/// # Errors
/// There is no area.
pub fn area<'a>(areas: impl IntoIterator<Item = &'a Area>) -> Finding<Hectares> {
    let areas: Vec<&Area> = areas.into_iter().collect();
    let hectares = areas.iter().map(|area| Hectares::from(geometry::area(&area.boundary)).0).sum();
    measured(&areas, Hectares(hectares), Method::GEODESIC_AREA)
}

/// Length of every ring of `areas`, those of holes included.
///
/// # Errors
/// There is no area.
pub fn perimeter<'a>(areas: impl IntoIterator<Item = &'a Area>) -> Finding<Metres> {
    let areas: Vec<&Area> = areas.into_iter().collect();
    let metres = areas.iter().map(|area| geometry::perimeter(&area.boundary).0).sum();
    measured(&areas, Metres(metres), Method::GEODESIC_LENGTH)
}

fn measured<Q>(areas: &[&Area], value: Q, method: Method) -> Finding<Q> {
    if areas.is_empty() {
        return Err(Gap::TableMissing("areas"));
    }
    let sources = areas.iter().map(|area| &area.source).collect();
    Ok(Estimate::counted(value, method, sources))
}

/// Length of the new lines of one kind that were made within the period: by their day, and of those without one, where the period is the
/// first that saw the place.
///
/// # Errors
/// No new line of this kind is drawn.
pub fn made_in_period(project: &Project, kind: FeatureKind) -> Finding<Metres> {
    let first = is_first(project);
    let new = project.features.iter().filter(|one| one.kind == kind && one.standing == Standing::New);
    let (mut metres, mut sources, mut undated) = (0.0, Sources::default(), 0.0);
    for feature in new {
        let Shape::Lines(lines) = &feature.shape else { continue };
        let length = geometry::length(lines).0;
        sources.add(&feature.source);
        match feature.made {
            Some(day) if project.period.holds(day) => metres += length,
            Some(_) => {}
            None if first => metres += length,
            None => undated += length,
        }
    }
    if sources.is_empty() {
        return Err(Gap::NoLine);
    }
    let estimate = Estimate::counted(Metres(metres), Method::MADE_IN_PERIOD, sources);
    Ok(match undated > 0.0 {
        true => estimate.note(format!("{} m bear no day, and are taken for older", number(undated, 0))),
        false => estimate,
    })
}

/// Whether the period is the first of its agreement, or of the records where there is none.
fn is_first(project: &Project) -> bool {
    let from = project.period.from;
    match project.only_agreement() {
        Some(agreement) => from <= agreement.term.from,
        None => {
            let planted = project.plantings.iter().map(|row| row.date);
            let worked = project.works.iter().map(|row| row.date);
            planted.chain(worked).all(|day| day >= from)
        }
    }
}

/// Whether new lines tell of more than one period: some bear the day on which they were made.
#[must_use]
pub fn tells_when_made(project: &Project) -> bool {
    project.features.iter().any(|one| one.made.is_some())
}

/// Length of the lines of one kind and standing, such as new fences; points and polygons have none.
///
/// # Errors
/// No line of this kind is drawn.
pub fn length(features: &[Feature], kind: FeatureKind, standing: Standing) -> Finding<Metres> {
    let (mut metres, mut sources) = (0.0, Sources::default());
    for feature in features.iter().filter(|feature| feature.kind == kind && feature.standing == standing) {
        if let Shape::Lines(lines) = &feature.shape {
            metres += geometry::length(lines).0;
            sources.add(&feature.source);
        }
    }
    if sources.is_empty() {
        return Err(Gap::NoLine);
    }
    Ok(Estimate::counted(Metres(metres), Method::GEODESIC_LENGTH, sources))
}
