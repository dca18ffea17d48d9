//! Plots outside their area, photo points and areas far from everything else.

use geo::{
    Centroid as _, Closest, ClosestPoint as _, Contains as _, Coord, MapCoords as _, MultiPolygon, Point,
};

use crate::{
    geometry::{self, Grid},
    problem::{Ground, Place, Problem},
    project::Project,
    units::Degrees,
};

/// Metres outside its area that the error of a telephone's position explains (common practice, no source).
const POSITION: f64 = 10.0;

/// Metres from every area at which a photo point is no longer believed (common practice, no source).
const VIEW: f64 = 2_000.0;

/// Metres from every area at which a sighting is no longer one of the project's (common practice, no source).
const SEEN: f64 = 10_000.0;

/// Kilometres from the middle of the project at which an area is no longer believed (common practice, no source).
const APART: f64 = 50.0;

/// Metres from the middle of a zone, where grids count 500 000 m, beyond which an area belongs to the next: six degrees
/// are 334 km to either side at the equator and less elsewhere (common practice: half a degree of overlap).
const ZONE: f64 = 390_000.0;

/// What eastings begin with in the middle of a zone, in metres.
const MIDDLE_OF_ZONE: f64 = 500_000.0;

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
    for sighting in &project.sightings {
        let Some(position) = sighting.position else { continue };
        let distances = project.areas.iter().map(|area| outside(position, &area.boundary));
        let Some(metres) = distances.min_by(f64::total_cmp).filter(|metres| *metres > SEEN) else { continue };
        let kind = Ground::PointFar { what: "the sighting of", id: sighting.species.clone(), metres };
        problems.push(Problem::new(kind, Place::row(&sighting.source)));
    }
    let before = problems.len();
    far_areas(project, problems);
    // An area that is far from the others has had its word.
    if problems.len() == before {
        outside_zone(project, problems);
    }
}

/// The first area that lies beyond the edge of the zone of the project's grid.
fn outside_zone(project: &Project, problems: &mut Vec<Problem>) {
    let grid = project.identity.grid.and_then(Grid::of_epsg);
    let Some(grid) = grid.filter(|grid| grid.name().contains("zone") && grid.metres_per_unit() == 1.0) else {
        return;
    };
    for area in &project.areas {
        let Some((easting, _)) = area.boundary.centroid().and_then(|centre| grid.to_grid(centre)) else {
            continue;
        };
        let metres = (easting - MIDDLE_OF_ZONE).abs();
        if metres > ZONE {
            let (id, kilometres) = (area.id.to_string(), metres / 1_000.0);
            let kind = Ground::OutsideZone { id, kilometres, grid: grid.name().to_owned() };
            problems.push(Problem::new(kind, Place::row(&area.source).column("geometry")));
            return;
        }
    }
}

/// Areas far from the rest of the project. One that would lie among the rest with longitude and latitude changed over is
/// an error: GeoJSON wants longitude first, and some programs save latitude first.
fn far_areas(project: &Project, problems: &mut Vec<Problem>) {
    let centres: Vec<Point<f64>> = project.areas.iter().filter_map(|area| area.boundary.centroid()).collect();
    if centres.len() != project.areas.len() {
        return;
    }
    let plots = project.plots.iter().filter_map(|plot| plot.position);
    let points: Vec<Point<f64>> =
        plots.chain(project.photo_points.iter().map(|point| point.position)).collect();
    // A stray can't move the middle of three areas; of fewer it can, so plots and photo points have a say.
    let whole = if centres.len() < 3 { [centres.clone(), points.clone()].concat() } else { centres.clone() };
    let (Some(of_areas), Some(of_whole)) = (middle(&centres), middle(&whole)) else { return };
    let all_turned = middle(&points)
        .is_some_and(|points| apart(points, of_areas) > APART && apart(points, turned(of_areas)) <= APART);
    for (area, centre) in project.areas.iter().zip(&centres) {
        let (id, kilometres) = (area.id.to_string(), apart(of_whole, *centre));
        let kind = if all_turned || kilometres > APART && apart(of_whole, turned(*centre)) <= APART {
            Ground::AxesSwapped { id }
        } else if kilometres > APART {
            Ground::FarAway { id, kilometres }
        } else {
            continue;
        };
        problems.push(Problem::new(kind, Place::row(&area.source).column("geometry")));
    }
}

/// The median longitude and the median latitude; `None` of nothing.
fn middle(points: &[Point<f64>]) -> Option<Point<f64>> {
    let median = |part: fn(&Point<f64>) -> f64| {
        let mut parts: Vec<f64> = points.iter().map(part).collect();
        parts.sort_by(f64::total_cmp);
        parts.get(parts.len().saturating_sub(1) / 2).copied()
    };
    Some(Point::new(median(|point| point.x())?, median(|point| point.y())?))
}

/// Kilometres between two places.
fn apart(one: Point<f64>, other: Point<f64>) -> f64 {
    geometry::distance(one, other).0 / 1_000.0
}

/// The place with longitude and latitude changed over; as it is where that is not on the Earth.
fn turned(place: Point<f64>) -> Point<f64> {
    if place.x().abs() <= 90.0 { Point::new(place.y(), place.x()) } else { place }
}

/// Metres from `point` to `shape`; nothing inside it.
fn outside(point: Point<f64>, shape: &MultiPolygon<f64>) -> f64 {
    if shape.contains(&point) {
        return 0.0;
    }
    // Nearest on the ground, not in degrees: those of longitude are shorter by the cosine of the latitude.
    let shrink = Degrees(point.y()).cos();
    let shrunk = |place: Coord<f64>| Coord { x: (place.x - point.x()) * shrink, y: place.y - point.y() };
    match shape.map_coords(shrunk).closest_point(&Point::new(0.0, 0.0)) {
        Closest::SinglePoint(nearest) if shrink > 0.0 => {
            let nearest = Point::new(nearest.x() / shrink + point.x(), nearest.y() + point.y());
            geometry::distance(point, nearest).0
        }
        _ => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_middle_is_not_moved_by_a_stray_and_axes_turn_only_on_the_earth() {
        let at = |x: f64, y: f64| Point::new(x, y);
        assert_eq!(middle(&[at(10.0, 50.0), at(10.2, 50.1), at(50.0, 10.0)]), Some(at(10.2, 50.0)));
        assert_eq!(middle(&[]), None);
        assert_eq!(turned(at(10.0, 50.0)), at(50.0, 10.0));
        assert_eq!(turned(at(148.0, -36.0)), at(148.0, -36.0), "no latitude is 148");
    }

    #[test]
    fn nothing_lies_outside_the_area_it_lies_in() {
        let ring = vec![(148.0, -36.0), (148.01, -36.0), (148.01, -35.99), (148.0, -35.99), (148.0, -36.0)];
        let area = MultiPolygon(vec![geo::Polygon::new(ring.into(), vec![])]);
        assert_eq!(outside(Point::new(148.005, -35.995), &area), 0.0);
        assert_eq!(outside(Point::new(148.0, -36.0), &area), 0.0, "a corner belongs to it");
        let corner = vec![(148.0, -36.0), (148.01, -36.0), (148.0, -35.99), (148.0, -36.0)];
        let slope = MultiPolygon(vec![geo::Polygon::new(corner.into(), vec![])]);
        // The right angle's height over the slope of 902 m by 1,110 m: 902 × 1,110 / √(902² + 1,110²) = 700 m.
        assert!((outside(Point::new(148.01, -35.99), &slope) - 700.0).abs() < 1.0);
        // A thousandth of a degree northward at 36° south: 110.95 m on the ellipsoid.
        assert!((outside(Point::new(148.005, -35.989), &area) - 110.95).abs() < 0.05);
    }
}
