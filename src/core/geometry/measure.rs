//! Areas and lengths on the WGS 84 ellipsoid.
//!
//! # Reference
//! Karney (2013), *Algorithms for geodesics*, J. Geodesy 87:43-55, as implemented by `geographiclib-rs` behind `geo`.

use geo::{
    Distance, Geodesic, GeodesicArea, Length, LineString, MultiLineString, MultiPolygon, Point, Polygon,
};

use crate::units::{Metres, SquareMetres};

/// Plan area of `shape` (longitude, latitude in degrees), holes taken out.
///
/// Each ring is measured by itself, so neither the way it runs nor the 180th meridian matters.
#[must_use]
pub fn area(shape: &MultiPolygon<f64>) -> SquareMetres {
    let ring = |ring: &LineString<f64>| Polygon::new(ring.clone(), vec![]).geodesic_area_signed().abs();
    let polygon = |one: &Polygon<f64>| ring(one.exterior()) - one.interiors().iter().map(ring).sum::<f64>();
    SquareMetres(shape.iter().map(polygon).sum())
}

/// Length of every ring of `shape`, those of holes included.
#[must_use]
pub fn perimeter(shape: &MultiPolygon<f64>) -> Metres {
    let rings =
        shape.iter().flat_map(|polygon| std::iter::once(polygon.exterior()).chain(polygon.interiors()));
    Metres(rings.map(|ring| Geodesic.length(ring)).sum())
}

/// Length of every line of `lines`.
#[must_use]
pub fn length(lines: &MultiLineString<f64>) -> Metres {
    Metres(lines.iter().map(|line| Geodesic.length(line)).sum())
}

/// Geodesic distance between two points.
#[must_use]
pub fn distance(from: Point<f64>, to: Point<f64>) -> Metres {
    Metres(Geodesic.distance(from, to))
}
