//! From whatever coordinates a layer stands in to longitude and latitude on the project's datum.

use geojson::{GeometryValue, Position};

use crate::{
    geometry::{Datum, System, shifted},
    problem::{Ground, Kind},
};

/// A geometry in the layer's own coordinates, or what is wrong with it.
pub(super) type Unplaced = Result<GeometryValue, Ground>;

/// How far a layer's numbers reach.
pub(super) struct Extent {
    first: Option<(f64, f64)>,
    /// The largest numbers in any position, without their signs.
    largest: (f64, f64),
}

impl Extent {
    /// How far the numbers of `layer` reach; what is no number is left out.
    pub(super) fn of(layer: &[Unplaced]) -> Extent {
        let mut extent = Extent { first: None, largest: (0.0, 0.0) };
        for geometry in layer.iter().flatten() {
            extent.take(geometry);
        }
        extent
    }

    /// The largest easting or longitude and the largest northing or latitude, without their signs.
    pub(super) fn largest(&self) -> (f64, f64) {
        self.largest
    }

    /// Whether every position could be degrees.
    pub(super) fn in_degrees(&self) -> bool {
        self.largest.0 <= 180.0 && self.largest.1 <= 90.0
    }

    fn take(&mut self, geometry: &GeometryValue) {
        match geometry {
            GeometryValue::Point { coordinates } => self.add(coordinates),
            GeometryValue::MultiPoint { coordinates } | GeometryValue::LineString { coordinates } => {
                coordinates.iter().for_each(|at| self.add(at));
            }
            GeometryValue::MultiLineString { coordinates } | GeometryValue::Polygon { coordinates } => {
                coordinates.iter().flatten().for_each(|at| self.add(at));
            }
            GeometryValue::MultiPolygon { coordinates } => {
                coordinates.iter().flatten().flatten().for_each(|at| self.add(at));
            }
            GeometryValue::GeometryCollection { geometries } => {
                geometries.iter().for_each(|part| self.take(&part.value));
            }
        }
    }

    fn add(&mut self, position: &Position) {
        let (x, y) = numbers(position);
        if x.is_finite() && y.is_finite() {
            self.first.get_or_insert((x, y));
            self.largest = (self.largest.0.max(x.abs()), self.largest.1.max(y.abs()));
        }
    }
}

/// The first two numbers of a position.
fn numbers(position: &Position) -> (f64, f64) {
    let part = |at: usize| position.as_slice().get(at).copied().unwrap_or(f64::NAN);
    (part(0), part(1))
}

/// Where a layer's coordinates stand and where they are brought.
pub(super) struct Frame {
    system: System,
    to: Datum,
}

impl Frame {
    /// From `system` to longitude and latitude on the datum `to`; says where a datum is taken for another.
    ///
    /// # Errors
    /// Numbers that reach as far as `extent` can't stand in that system.
    pub(super) fn new(
        system: System,
        extent: &Extent,
        to: Datum,
        say: &mut dyn FnMut(Kind),
    ) -> Result<Frame, Ground> {
        let ((x, y), name) = (extent.largest, || system.name().to_owned());
        if system.in_degrees() && !extent.in_degrees() {
            return Err(Ground::NotDegrees { x, y, system: name() });
        }
        if !system.in_degrees() && extent.first.is_some() && extent.in_degrees() {
            return Err(Ground::NotMetres { x, y, system: name() });
        }
        if extent.first.is_some_and(|(x, y)| !system.suits(x, y)) {
            return Err(Ground::GridUnfit { system: name() });
        }
        if system.datum() == Datum::Gda94 && to == Datum::Wgs84 {
            say(Ground::DatumTaken { found: system.datum().name(), taken: to.name() }.into());
        }
        if let Some(metres) = system.crs().strays() {
            say(Ground::DatumApproximate { datum: system.crs().datum().to_owned(), metres }.into());
        }
        Ok(Frame { system, to })
    }

    /// Longitude and latitude of one position.
    fn position(&self, x: f64, y: f64) -> Result<[f64; 2], Ground> {
        let place = self.system.to_geographic(x, y);
        let place = place.and_then(|place| shifted(place, self.system.datum(), self.to));
        match place {
            Some(place) => Ok([place.x(), place.y()]),
            None if self.system.in_degrees() => {
                Err(Ground::NotOnEarth { longitude: x.to_string(), latitude: y.to_string() })
            }
            None => Err(Ground::NotInSystem {
                x: x.to_string(),
                y: y.to_string(),
                system: self.system.name().to_owned(),
            }),
        }
    }

    /// The same geometry with every position in longitude and latitude.
    pub(super) fn placed(&self, geometry: GeometryValue) -> Result<GeometryValue, Ground> {
        let one = |position: &Position| -> Result<Position, Ground> {
            let (x, y) = numbers(position);
            self.position(x, y).map(Position::from)
        };
        let line = |line: &Vec<Position>| line.iter().map(one).collect::<Result<Vec<_>, _>>();
        let lines = |lines: &Vec<Vec<Position>>| lines.iter().map(line).collect::<Result<Vec<_>, _>>();
        Ok(match geometry {
            GeometryValue::Point { coordinates } => GeometryValue::Point { coordinates: one(&coordinates)? },
            GeometryValue::MultiPoint { coordinates } => {
                GeometryValue::MultiPoint { coordinates: line(&coordinates)? }
            }
            GeometryValue::LineString { coordinates } => {
                GeometryValue::LineString { coordinates: line(&coordinates)? }
            }
            GeometryValue::MultiLineString { coordinates } => {
                GeometryValue::MultiLineString { coordinates: lines(&coordinates)? }
            }
            GeometryValue::Polygon { coordinates } => {
                GeometryValue::Polygon { coordinates: lines(&coordinates)? }
            }
            GeometryValue::MultiPolygon { coordinates } => GeometryValue::MultiPolygon {
                coordinates: coordinates.iter().map(lines).collect::<Result<Vec<_>, _>>()?,
            },
            GeometryValue::GeometryCollection { geometries } => {
                let mut placed = Vec::with_capacity(geometries.len());
                for part in geometries {
                    placed.push(geojson::Geometry::new(self.placed(part.value)?));
                }
                GeometryValue::GeometryCollection { geometries: placed }
            }
        })
    }
}
