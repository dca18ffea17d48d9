//! Where something is: degrees, or eastings and northings in the project's grid.

use geo::Point;

use crate::{
    intake::{cell::Cells, records::Known},
    problem::{Ground, Reading},
};

/// Farther from the origin than any grid on the Earth reaches, in metres or feet.
const FARTHEST: f64 = 1e8;

impl Cells<'_> {
    /// The position in the columns `longitude` and `latitude`.
    pub(crate) fn degrees(&mut self) -> Option<Point<f64>> {
        let any = (f64::NEG_INFINITY, f64::INFINITY);
        let longitude = self.number("longitude", any, "degrees with decimals, such as 148.0312");
        let latitude = self.number("latitude", any, "degrees with decimals, such as -36.0021");
        let (longitude, latitude) = (longitude?, latitude?);
        if (-180.0..=180.0).contains(&longitude) && (-90.0..=90.0).contains(&latitude) {
            return Some(Point::new(longitude, latitude));
        }
        let typed = |cells: &Self, column| cells.raw(column).unwrap_or_default().to_owned();
        let kind =
            Ground::NotOnEarth { longitude: typed(self, "longitude"), latitude: typed(self, "latitude") };
        self.say(if longitude.abs() > 180.0 { "longitude" } else { "latitude" }, kind);
        None
    }

    /// The position in `easting` and `northing`, or else in `longitude` and `latitude`.
    pub(crate) fn position(&mut self, known: &Known) -> Option<Point<f64>> {
        if self.raw("easting").or(self.raw("northing")).is_none() {
            self.both("longitude", "latitude");
            return self.degrees();
        }
        if self.raw("longitude").or(self.raw("latitude")).is_some() {
            self.say(
                "easting",
                Reading::OneOrTheOther { one: "longitude and latitude", other: "easting and northing" },
            );
        }
        self.both("easting", "northing");
        let range = (-FARTHEST, FARTHEST);
        let easting = self.number("easting", range, "a distance in the project's grid, such as 589214.5");
        let northing = self.number("northing", range, "a distance in the project's grid, such as 6013877.0");
        let Some(grid) = &known.grid else {
            self.say("easting", Ground::GridNotSet);
            return None;
        };
        let (easting, northing) = (easting?, northing?);
        let position = grid.to_geographic(easting, northing);
        if position.is_none() {
            let kind = Ground::NotInGrid { easting, northing, grid: grid.name().to_owned() };
            self.say("easting", kind);
        }
        position
    }
}
