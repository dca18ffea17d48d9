//! Areas, perimeters and lengths on the ellipsoid.

use crate::{
    estimate::{Estimate, Finding, Gap, Method},
    geometry,
    project::{Area, Feature, FeatureKind, Shape, Standing},
    source::Sources,
    units::{Hectares, Metres},
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
