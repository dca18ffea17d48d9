//! The tie of a set-out: marks that can be found on the ground, and the side from which a crew comes.

use geo::{Coord, MapCoords, Point};

use crate::{
    geometry::Plane,
    plan::rows::AreaRows,
    project::{FeatureKind, Project, Shape},
};

/// Something that is drawn as a point and can be found on the ground.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// What it is called.
    pub words: String,
    /// Its place on the plane of the area.
    pub place: Coord<f64>,
}

/// From where a crew comes to the rows.
#[derive(Debug, Clone, PartialEq)]
pub struct Access {
    /// The gate, track or road, in words.
    pub words: String,
    /// Its place that is nearest to a row.
    pub place: Coord<f64>,
}

/// Every mark of the folder: gates and other features drawn as points, photo points, survey plots.
pub(crate) fn marks(project: &Project, plane: &Plane) -> Vec<Mark> {
    let mut marks = Vec::new();
    for feature in &project.features {
        if let Shape::Points(points) = &feature.shape {
            let words = named(feature.kind, feature.name.as_deref());
            marks.extend(points.iter().map(|at| Mark { words: words.clone(), place: plane.xy(*at) }));
        }
    }
    let points = project.photo_points.iter();
    marks.extend(
        points.map(|point| Mark {
            words: format!("photo point {}", point.id),
            place: plane.xy(point.position),
        }),
    );
    let plots = project.plots.iter().filter_map(|plot| Some((plot, plot.position?)));
    marks.extend(
        plots.map(|(plot, at)| Mark { words: format!("middle of plot {}", plot.id), place: plane.xy(at) }),
    );
    marks
}

/// The gate, track or road that comes nearest to the rows; `None` where none is drawn.
pub(crate) fn access(project: &Project, rows: &AreaRows) -> Option<Access> {
    let plane = &rows.plantable.plane;
    let corners: Vec<Coord<f64>> =
        rows.rows.iter().flat_map(|row| [row.line.0.first(), row.line.0.last()]).flatten().copied().collect();
    let away = |place: Coord<f64>| {
        let distances = corners.iter().map(|corner| libm::hypot(corner.x - place.x, corner.y - place.y));
        distances.min_by(f64::total_cmp).unwrap_or(f64::INFINITY)
    };
    let mut best: Option<(f64, Access)> = None;
    for feature in &project.features {
        if !matches!(feature.kind, FeatureKind::Gate | FeatureKind::Track | FeatureKind::Road) {
            continue;
        }
        let places: Vec<Coord<f64>> = match &feature.shape {
            Shape::Points(points) => points.iter().map(|at| plane.xy(*at)).collect(),
            Shape::Lines(lines) => {
                lines.iter().flat_map(|line| along(&line.map_coords(|at| plane.xy(Point(at))))).collect()
            }
            Shape::Polygons(_) => Vec::new(),
        };
        for place in places {
            let distance = away(place);
            if best.as_ref().is_none_or(|(nearest, _)| distance < *nearest) {
                best =
                    Some((distance, Access { words: named(feature.kind, feature.name.as_deref()), place }));
            }
        }
    }
    best.map(|(_, access)| access)
}

/// Places along a line, at most ten metres apart.
fn along(line: &geo::LineString<f64>) -> Vec<Coord<f64>> {
    let walk = crate::plan::walk::Walk::of(line);
    let steps = (walk.length() / 10.0).ceil().clamp(1.0, 10_000.0);
    (0..=steps as u32).map(|step| walk.at(walk.length() * f64::from(step) / steps)).collect()
}

fn named(kind: FeatureKind, name: Option<&str>) -> String {
    name.map_or_else(|| kind.words().to_owned(), str::to_owned)
}
