//! Plots outside their area, photo points and areas far from everything else.

use geo::{Centroid as _, Closest, ClosestPoint as _, Contains as _, MultiPolygon, Point};

use crate::{
    geometry,
    problem::{Ground, Place, Problem},
    project::Project,
};

/// Metres outside its area that the error of a telephone's position explains (common practice, no source).
const POSITION: f64 = 10.0;

/// Metres from every area at which a photo point is no longer believed (common practice, no source).
const VIEW: f64 = 2_000.0;

/// Kilometres from the middle of the other areas at which an area is no longer believed (common practice, no source).
const APART: f64 = 50.0;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    for plot in &project.plots {
        let (Some(area), Some(position)) = (project.area(&plot.area), plot.position) else { continue };
        let metres = outside(position, &area.boundary);
        if metres > POSITION {
            let kind = Ground::PlotOutside { plot: plot.id.to_string(), area: area.id.to_string(), metres };
            problems.push(Problem::new(kind, Place::row(&plot.source)));
        }
    }
    for point in &project.photo_points {
        let distances = project.areas.iter().map(|area| outside(point.position, &area.boundary));
        let Some(metres) = distances.min_by(f64::total_cmp).filter(|metres| *metres > VIEW) else { continue };
        let kind = Ground::PointFar { what: "photo point", id: point.id.to_string(), metres };
        problems.push(Problem::new(kind, Place::row(&point.source)));
    }
    far_areas(project, problems);
}

/// With three areas or more: those far from the middle one in longitude and latitude, which one stray can't move.
fn far_areas(project: &Project, problems: &mut Vec<Problem>) {
    let centres: Vec<Point<f64>> = project.areas.iter().filter_map(|area| area.boundary.centroid()).collect();
    if centres.len() < 2 || centres.len() != project.areas.len() {
        return;
    }
    let middle = |part: fn(&Point<f64>) -> f64| {
        let mut parts: Vec<f64> = centres.iter().map(part).collect();
        parts.sort_by(f64::total_cmp);
        parts[(parts.len() - 1) / 2]
    };
    let middle = Point::new(middle(|point| point.x()), middle(|point| point.y()));
    for (area, centre) in project.areas.iter().zip(&centres) {
        let kilometres = geometry::distance(middle, *centre).0 / 1_000.0;
        if kilometres > APART {
            let kind = Ground::FarAway { id: area.id.to_string(), kilometres };
            problems.push(Problem::new(kind, Place::row(&area.source).column("geometry")));
        }
    }
}

/// Metres from `point` to `shape`; nothing inside it.
fn outside(point: Point<f64>, shape: &MultiPolygon<f64>) -> f64 {
    if shape.contains(&point) {
        return 0.0;
    }
    match shape.closest_point(&point) {
        Closest::Intersection(_) => 0.0,
        Closest::SinglePoint(nearest) => geometry::distance(point, nearest).0,
        Closest::Indeterminate => 0.0,
    }
}
