//! Positions: longitude and latitude in degrees, on the Earth.

use geo::{Coord, LineString, MultiLineString, MultiPoint, MultiPolygon, Point, Polygon};
use geojson::{GeometryValue, Position};

use crate::{problem::Ground, project::Shape};

/// The points, lines and polygons of a geometry, `Z` values dropped.
///
/// # Errors
/// The first thing that is wrong with it.
pub(super) fn parts(geometry: &GeometryValue, limit: usize) -> Result<Parts, Ground> {
    let mut parts = Parts { corners: 0, limit, ..Parts::default() };
    parts.take(geometry)?;
    Ok(parts)
}

/// The shape of a geometry whose parts are of one kind.
///
/// # Errors
/// The first thing that is wrong with it.
pub(super) fn shape(geometry: &GeometryValue, limit: usize) -> Result<Shape, Ground> {
    let parts = parts(geometry, limit)?;
    match (parts.points.is_empty(), parts.lines.is_empty(), parts.polygons.is_empty()) {
        (true, true, false) => Ok(Shape::Polygons(MultiPolygon(parts.polygons))),
        (true, false, true) => Ok(Shape::Lines(MultiLineString(parts.lines))),
        (false, true, true) => Ok(Shape::Points(MultiPoint(parts.points))),
        (true, true, true) => Err(Ground::NoShape),
        _ => Err(Ground::WrongShape {
            found: "GeometryCollection of several kinds".to_owned(),
            wanted: "one kind (points, lines or polygons)",
        }),
    }
}

/// What the parts of a geometry come to, however deep collections nest.
#[derive(Default)]
pub(super) struct Parts {
    pub(super) points: Vec<Point<f64>>,
    pub(super) lines: Vec<LineString<f64>>,
    pub(super) polygons: Vec<Polygon<f64>>,
    corners: usize,
    limit: usize,
}

impl Parts {
    fn take(&mut self, geometry: &GeometryValue) -> Result<(), Ground> {
        match geometry {
            GeometryValue::Point { coordinates } => {
                let place = self.place(coordinates)?;
                self.points.push(Point(place));
            }
            GeometryValue::MultiPoint { coordinates } => {
                for point in coordinates {
                    let place = self.place(point)?;
                    self.points.push(Point(place));
                }
            }
            GeometryValue::LineString { coordinates } => self.line(coordinates)?,
            GeometryValue::MultiLineString { coordinates } => {
                coordinates.iter().try_for_each(|line| self.line(line))?;
            }
            GeometryValue::Polygon { coordinates } => self.polygon(coordinates)?,
            GeometryValue::MultiPolygon { coordinates } => {
                coordinates.iter().try_for_each(|polygon| self.polygon(polygon))?;
            }
            GeometryValue::GeometryCollection { geometries } => {
                geometries.iter().try_for_each(|part| self.take(&part.value))?;
            }
        }
        Ok(())
    }

    fn line(&mut self, corners: &[Position]) -> Result<(), Ground> {
        if corners.len() < 2 {
            return Err(Ground::NoShape);
        }
        let line = self.ring(corners)?;
        self.lines.push(line);
        Ok(())
    }

    fn polygon(&mut self, rings: &[Vec<Position>]) -> Result<(), Ground> {
        let Some((outer, holes)) = rings.split_first() else { return Err(Ground::NoShape) };
        let corners = distinct(outer);
        if corners < 3 {
            return Err(Ground::TooFewCorners { corners });
        }
        let outer = self.ring(outer)?;
        let holes = holes.iter().map(|hole| self.ring(hole)).collect::<Result<_, _>>()?;
        self.polygons.push(Polygon::new(outer, holes));
        Ok(())
    }

    fn ring(&mut self, corners: &[Position]) -> Result<LineString<f64>, Ground> {
        corners.iter().map(|corner| self.place(corner)).collect::<Result<_, _>>().map(LineString)
    }

    fn place(&mut self, position: &Position) -> Result<Coord<f64>, Ground> {
        self.corners += 1;
        if self.corners > self.limit {
            return Err(Ground::TooManyCorners { corners: self.corners, limit: self.limit });
        }
        let part = |at: usize| position.as_slice().get(at).copied().unwrap_or(f64::NAN);
        let (x, y) = (part(0), part(1));
        match (-180.0..=180.0).contains(&x) && (-90.0..=90.0).contains(&y) {
            true => Ok(Coord { x, y }),
            false => Err(Ground::NotOnEarth { longitude: x.to_string(), latitude: y.to_string() }),
        }
    }
}

/// Corners of a ring, one that follows itself counted once and the closing one not at all.
fn distinct(ring: &[Position]) -> usize {
    let mut corners: Vec<&[f64]> = ring.iter().map(Position::as_slice).collect();
    corners.dedup();
    if corners.len() > 1 && corners.first() == corners.last() {
        corners.pop();
    }
    corners.len()
}

#[cfg(test)]
mod tests {
    use geojson::Geometry;

    use super::*;

    fn collection(parts: &[GeometryValue]) -> GeometryValue {
        GeometryValue::GeometryCollection { geometries: parts.iter().cloned().map(Geometry::new).collect() }
    }

    #[test]
    fn parts_of_one_kind_make_one_shape_and_others_are_refused() {
        let square = |at: f64| {
            GeometryValue::new_polygon([[[at, 0.0, 7.0], [at + 1.0, 0.0, 7.0], [at + 1.0, 1.0, 7.0]]])
        };
        let gate = GeometryValue::new_point([1.0, 1.0]);
        let two = shape(&collection(&[square(0.0), collection(&[square(3.0)])]), 100);
        assert!(matches!(two, Ok(Shape::Polygons(polygons)) if polygons.0.len() == 2));
        let mixed = shape(&collection(&[square(0.0), gate]), 100);
        assert!(matches!(mixed, Err(Ground::WrongShape { .. })), "nothing is dropped without a word");
        assert_eq!(shape(&collection(&[]), 100), Err(Ground::NoShape));
        assert!(matches!(shape(&square(0.0), 2), Err(Ground::TooManyCorners { .. })));
    }
}
