//! Coordinate reference systems that a file's positions may stand in, brought to longitude and latitude.
//!
//! # Assumption
//! GDA94 and GDA2020 lie 1.8 m apart and are shifted by the published seven parameters. Every other modern datum (WGS 84,
//! NZGD2000, NAD83, ETRS89) is taken for WGS 84: a null shift, as EPSG's own ballpark operations have it; older datums are
//! shifted by the parameters of their definition.
//!
//! # Reference
//! Seven parameters: EPSG operation 8048, from ICSM (2018), *Geocentric Datum of Australia 2020 Technical Manual* 1.2,
//! section 3.1.1. Web Mercator: IOGP (2019), *Geomatics Guidance Note* 7-2, method 1024.

use geo::Point;
use proj4rs::{Proj, transform::transform};

use crate::geometry::{Crs, Grid};

/// GDA94 with its shift to GDA2020 written as the shift of a datum: metres, seconds of arc, parts per million. The manual
/// turns the frame and not the position, so its three rotations stand here with their signs changed.
const GDA94: &str = "+proj=longlat +ellps=GRS80 \
    +towgs84=0.06155,-0.01087,-0.04019,0.0394924,0.0327221,0.0328979,-0.009994 +no_defs";

/// GDA2020, to which GDA94 is shifted.
const GDA2020: &str = "+proj=longlat +ellps=GRS80 +towgs84=0,0,0,0,0,0,0 +no_defs";

/// Longitude and latitude on WGS 84.
const WGS84: &str = "+proj=longlat +datum=WGS84 +no_defs";

/// What positions are measured from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Datum {
    /// The Geocentric Datum of Australia 1994.
    Gda94,
    /// The Geocentric Datum of Australia 2020.
    Gda2020,
    /// WGS 84 and whatever is taken for it.
    Wgs84,
}

impl Datum {
    /// The datum called `name` in the EPSG dataset.
    #[must_use]
    pub fn named(name: &str) -> Datum {
        match name {
            "GDA94" => Datum::Gda94,
            "GDA2020" => Datum::Gda2020,
            _ => Datum::Wgs84,
        }
    }

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Datum::Gda94 => "GDA94",
            Datum::Gda2020 => "GDA2020",
            Datum::Wgs84 => "WGS 84",
        }
    }
}

/// A coordinate reference system at work: its numbers brought to longitude and latitude, and back.
#[derive(Debug, Clone)]
pub struct System {
    crs: Crs,
    way: Way,
}

/// The way between the two numbers of a position and longitude and latitude.
#[derive(Debug, Clone)]
enum Way {
    /// Degrees of longitude and latitude, on WGS 84 or a datum that is taken for it.
    Degrees,
    /// Degrees on an older datum or from another meridian, and the way to WGS 84.
    Shifted(Box<(Proj, Proj)>),
    /// Eastings and northings.
    Grid(Box<Grid>),
}

impl System {
    /// The system with this EPSG code; `None` where there is none or where it has no known way to WGS 84.
    #[must_use]
    pub fn of_epsg(epsg: u16) -> Option<System> {
        System::of(&Crs::of_epsg(epsg)?)
    }

    /// The system at work; `None` where its projection is not carried out here.
    #[must_use]
    pub fn of(crs: &Crs) -> Option<System> {
        let way = match crs.in_degrees() {
            false => Way::Grid(Box::new(Grid::of(crs)?)),
            true if !crs.shifts() && !crs.parameters().contains("+pm=") => Way::Degrees,
            true => {
                let theirs = Proj::from_proj_string(crs.parameters()).ok()?;
                Way::Shifted(Box::new((theirs, Proj::from_proj_string(WGS84).ok()?)))
            }
        };
        Some(System { crs: crs.clone(), way })
    }

    /// Longitude and latitude on WGS 84.
    #[must_use]
    pub fn wgs84() -> System {
        System { crs: Crs::wgs84(), way: Way::Degrees }
    }

    /// The coordinate reference system.
    #[must_use]
    pub fn crs(&self) -> &Crs {
        &self.crs
    }

    /// Its name.
    #[must_use]
    pub fn name(&self) -> &str {
        self.crs.name()
    }

    /// What its positions are measured from.
    #[must_use]
    pub fn datum(&self) -> Datum {
        Datum::named(self.crs.datum())
    }

    /// Whether it counts degrees.
    #[must_use]
    pub fn in_degrees(&self) -> bool {
        self.crs.in_degrees()
    }

    /// Whether the system was made for where the position lies; degrees and maps of the world suit everywhere.
    #[must_use]
    pub fn suits(&self, x: f64, y: f64) -> bool {
        match &self.way {
            Way::Grid(grid) if !grid.of_the_world() => {
                grid.to_geographic(x, y).is_none_or(|place| grid.suits(place))
            }
            _ => true,
        }
    }

    /// Longitude and latitude of a position, on WGS 84 or the datum that is taken for it; `None` where the system holds no such
    /// position.
    #[must_use]
    pub fn to_geographic(&self, x: f64, y: f64) -> Option<Point<f64>> {
        match &self.way {
            Way::Degrees => Some(Point::new(x, y)),
            Way::Shifted(way) => moved(&way.0, &way.1, Point::new(x, y)),
            Way::Grid(grid) => grid.to_geographic(x, y),
        }
    }

    /// The system's numbers of a longitude and latitude; `None` where it holds no such position.
    #[must_use]
    pub fn of_geographic(&self, position: Point<f64>) -> Option<(f64, f64)> {
        match &self.way {
            Way::Degrees => Some(position.x_y()),
            Way::Shifted(way) => moved(&way.1, &way.0, position).map(Point::x_y),
            Way::Grid(grid) => grid.to_grid(position),
        }
    }

    /// The grid that it counts on; `None` where it counts degrees.
    #[must_use]
    pub fn grid(&self) -> Option<&Grid> {
        match &self.way {
            Way::Grid(grid) => Some(grid),
            _ => None,
        }
    }
}

/// `position` brought from one datum to another, at the height of the ellipsoid; as it is where the two are not the pair that
/// has published parameters.
#[must_use]
pub fn shifted(position: Point<f64>, from: Datum, to: Datum) -> Option<Point<f64>> {
    let (from, to) = match (from, to) {
        (Datum::Gda94, Datum::Gda2020) => (GDA94, GDA2020),
        (Datum::Gda2020, Datum::Gda94) => (GDA2020, GDA94),
        _ => return Some(position),
    };
    moved(&Proj::from_proj_string(from).ok()?, &Proj::from_proj_string(to).ok()?, position)
}

/// A position in degrees through a transformation of datums.
fn moved(from: &Proj, to: &Proj, position: Point<f64>) -> Option<Point<f64>> {
    let mut place = (position.x().to_radians(), position.y().to_radians(), 0.0);
    transform(from, to, &mut place).ok()?;
    let (longitude, latitude) = (place.0.to_degrees(), place.1.to_degrees());
    (longitude.is_finite() && latitude.is_finite()).then(|| Point::new(longitude, latitude))
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a test may stop at once")]
mod tests {
    use super::*;

    #[test]
    fn systems_are_known_by_code() {
        let name = |epsg| System::of_epsg(epsg).map(|system| system.name().to_owned());
        assert_eq!(name(4326).as_deref(), Some("WGS 84"));
        assert_eq!(name(3857).as_deref(), Some("WGS 84 / Pseudo-Mercator"));
        assert_eq!(name(28355).as_deref(), Some("GDA94 / MGA zone 55"));
        for refused in [27200, 2000, 1] {
            assert_eq!(name(refused), None, "{refused}");
        }
        let datum = |epsg| System::of_epsg(epsg).map(|system| system.datum());
        assert_eq!([4283, 7844, 2193].map(datum), [Datum::Gda94, Datum::Gda2020, Datum::Wgs84].map(Some));
    }

    /// IOGP Guidance Note 7-2, method 1024, worked example: 24°22'54.433" N, 100°20'00" W is −11 169 055.58 m east,
    /// 2 800 000.00 m north.
    #[test]
    fn web_mercator_follows_its_worked_example() {
        let system = System::of_epsg(3857).expect("a system");
        let place = system.to_geographic(-11_169_055.58, 2_800_000.00).expect("a place");
        assert!((place.x() + 100.0 + 20.0 / 60.0).abs() < 1e-7, "{place:?}");
        assert!((place.y() - (24.0 + 22.0 / 60.0 + 54.433 / 3600.0)).abs() < 1e-7, "{place:?}");
    }

    #[test]
    fn nothing_else_is_shifted() {
        let place = Point::new(148.0, -36.0);
        assert_eq!(shifted(place, Datum::Wgs84, Datum::Gda2020), Some(place));
        assert_eq!(shifted(place, Datum::Gda94, Datum::Gda94), Some(place));
        let there = shifted(place, Datum::Gda94, Datum::Gda2020).expect("a place");
        let back = shifted(there, Datum::Gda2020, Datum::Gda94).expect("a place");
        assert!((back - place).x().abs() < 1e-10 && (back - place).y().abs() < 1e-10);
    }
}
