//! A flat drawing plane about a place: metres east and north of it, for maps and for laying out.
//!
//! # Method
//! Azimuthal equidistant on the WGS 84 ellipsoid: every point lies at its geodesic distance and azimuth from the centre.
//! Unlike a zoned grid it works across the 180th meridian and near the poles. Distances from the centre are exact;
//! across, they are stretched by (r / R)² / 6, which is 4 mm in 1 km at 30 km from the centre.
//!
//! # Reference
//! Snyder (1987), *Map Projections, a Working Manual*, USGS Professional Paper 1395, chapter 25; geodesics after Karney
//! (2013), J. Geodesy 87:43-55.

use geo::{Coord, Point};
use geographiclib_rs::{DirectGeodesic, Geodesic, InverseGeodesic};

use crate::units::Degrees;

/// A plane in metres about a centre, its y axis turned off true north where asked.
#[derive(Debug, Clone, Copy)]
pub struct Plane {
    centre: Point<f64>,
    up: Degrees,
    ellipsoid: Geodesic,
}

impl Plane {
    /// The plane about `centre` (longitude and latitude in degrees), y to true north.
    #[must_use]
    pub fn about(centre: Point<f64>) -> Plane {
        Plane { centre, up: Degrees(0.0), ellipsoid: Geodesic::wgs84() }
    }

    /// The same plane with its y axis `up` degrees clockwise of true north.
    #[must_use]
    pub fn turned(mut self, up: Degrees) -> Plane {
        self.up = up;
        self
    }

    /// The centre.
    #[must_use]
    pub fn centre(&self) -> Point<f64> {
        self.centre
    }

    /// How far the y axis lies clockwise of true north.
    #[must_use]
    pub fn up(&self) -> Degrees {
        self.up
    }

    /// Metres along x and y of `position` (longitude and latitude in degrees).
    #[must_use]
    pub fn xy(&self, position: Point<f64>) -> Coord<f64> {
        let (distance, azimuth, _, _): (f64, f64, f64, f64) =
            self.ellipsoid.inverse(self.centre.y(), self.centre.x(), position.y(), position.x());
        let bearing = Degrees(azimuth - self.up.0);
        Coord { x: distance * bearing.sin(), y: distance * bearing.cos() }
    }

    /// Longitude and latitude in degrees of a place on the plane.
    #[must_use]
    pub fn position(&self, place: Coord<f64>) -> Point<f64> {
        let azimuth = libm::atan2(place.x, place.y).to_degrees() + self.up.0;
        let (latitude, longitude): (f64, f64) =
            self.ellipsoid.direct(self.centre.y(), self.centre.x(), azimuth, libm::hypot(place.x, place.y));
        Point::new(longitude, latitude)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_come_back_to_where_they_were() {
        for (longitude, latitude) in
            [(148.0, -36.0), (179.999, -16.5), (-180.0, 71.0), (20.0, 89.9), (0.0, 0.0)]
        {
            let plane = Plane::about(Point::new(longitude, latitude)).turned(Degrees(1.5));
            for place in [(0.0, 0.0), (250.0, -40.0), (-9000.0, 12_000.0)] {
                let place = Coord { x: place.0, y: place.1 };
                let back = plane.xy(plane.position(place));
                assert!(libm::hypot(back.x - place.x, back.y - place.y) < 1e-6, "{place:?} {back:?}");
            }
        }
    }

    #[test]
    fn a_turned_plane_turns_the_other_way() {
        let here = Point::new(148.0, -36.0);
        let north = Point::new(148.0, -35.99);
        let place = Plane::about(here).turned(Degrees(90.0)).xy(north);
        assert!(place.x < -1000.0 && place.y.abs() < 1e-6, "{place:?}");
    }
}
