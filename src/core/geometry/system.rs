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

use crate::geometry::Grid;

/// GDA94 with its shift to GDA2020 written as the shift of a datum: metres, seconds of arc, parts per million. The manual
/// turns the frame and not the position, so its three rotations stand here with their signs changed.
const GDA94: &str = "+proj=longlat +ellps=GRS80 \
    +towgs84=0.06155,-0.01087,-0.04019,0.0394924,0.0327221,0.0328979,-0.009994 +no_defs";

/// GDA2020, to which GDA94 is shifted.
const GDA2020: &str = "+proj=longlat +ellps=GRS80 +towgs84=0,0,0,0,0,0,0 +no_defs";

/// Longitude and latitude on WGS 84.
const WGS84: &str = "+proj=longlat +datum=WGS84 +no_defs";

/// EPSG code of Web Mercator.
const WEB_MERCATOR: u16 = 3857;

/// Radius of the sphere of Web Mercator, in metres.
const SPHERE_METRES: f64 = 6_378_137.0;

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

/// A coordinate reference system.
#[derive(Debug, Clone)]
pub struct System {
    name: String,
    datum: Datum,
    unit: Unit,
}

/// What the two numbers of a position count.
#[derive(Debug, Clone)]
enum Unit {
    /// Degrees of longitude and latitude, on WGS 84 or a datum that is taken for it.
    Degrees,
    /// Degrees on an older datum, and the way to WGS 84.
    Shifted(Box<(Proj, Proj)>),
    /// Eastings and northings.
    Grid(Box<Grid>),
    /// Metres of Web Mercator.
    WebMercator,
}

impl System {
    /// Longitude and latitude on WGS 84.
    #[must_use]
    pub fn wgs84() -> System {
        System { name: "WGS 84".to_owned(), datum: Datum::Wgs84, unit: Unit::Degrees }
    }

    /// The system with this EPSG code; `None` where there is none or where it needs a shift file that is not carried here.
    #[must_use]
    pub fn of_epsg(epsg: u16) -> Option<System> {
        if epsg == WEB_MERCATOR {
            let name = "WGS 84 / Pseudo-Mercator".to_owned();
            return Some(System { name, datum: Datum::Wgs84, unit: Unit::WebMercator });
        }
        if let Some(grid) = Grid::of_epsg(epsg) {
            let (name, datum) = (grid.name().to_owned(), Datum::named(grid.datum()));
            return Some(System { name, datum, unit: Unit::Grid(Box::new(grid)) });
        }
        let definition = crs_definitions::from_code(epsg)?;
        let name = definition.wkt.strip_prefix("GEOGCS[\"")?.split('"').next()?;
        let proj4 = definition.proj4;
        let no_way = ["+nadgrids=", "+datum=NAD27", "+datum=nzgd49", "+axis=", "+pm="];
        if no_way.iter().any(|word| proj4.contains(word)) {
            return None;
        }
        let unit = match crate::geometry::grid::shifts_from_wgs84(proj4) {
            false => Unit::Degrees,
            true => {
                let (theirs, wgs84) = (Proj::from_proj_string(proj4), Proj::from_proj_string(WGS84));
                Unit::Shifted(Box::new((theirs.ok()?, wgs84.ok()?)))
            }
        };
        Some(System { name: name.to_owned(), datum: Datum::named(name), unit })
    }

    /// The name in the EPSG dataset.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What its positions are measured from.
    #[must_use]
    pub fn datum(&self) -> Datum {
        self.datum
    }

    /// Whether it counts degrees.
    #[must_use]
    pub fn in_degrees(&self) -> bool {
        matches!(self.unit, Unit::Degrees | Unit::Shifted(_))
    }

    /// Whether the system was made for where the position lies; degrees suit everywhere.
    #[must_use]
    pub fn suits(&self, x: f64, y: f64) -> bool {
        match &self.unit {
            Unit::Grid(grid) => grid.to_geographic(x, y).is_none_or(|place| grid.suits(place)),
            _ => true,
        }
    }

    /// Longitude and latitude of a position, on the system's own datum; `None` where the system holds no such position.
    #[must_use]
    pub fn to_geographic(&self, x: f64, y: f64) -> Option<Point<f64>> {
        match &self.unit {
            Unit::Degrees => Some(Point::new(x, y)),
            Unit::Shifted(way) => moved(&way.0, &way.1, Point::new(x, y)),
            Unit::Grid(grid) => grid.to_geographic(x, y),
            Unit::WebMercator => {
                let longitude = (x / SPHERE_METRES).to_degrees();
                let latitude = (2.0 * libm::atan(libm::exp(y / SPHERE_METRES))).to_degrees() - 90.0;
                (longitude.abs() <= 180.0 && y.is_finite()).then(|| Point::new(longitude, latitude))
            }
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
        for refused in [4267, 4272, 27200, 1] {
            assert_eq!(name(refused), None, "{refused}");
        }
        let datum = |epsg| System::of_epsg(epsg).map(|system| system.datum());
        assert_eq!([4283, 7844, 2193].map(datum), [Datum::Gda94, Datum::Gda2020, Datum::Wgs84].map(Some));
    }

    /// IOGP Guidance Note 7-2, method 1024, worked example: 24°22'54.433" N, 100°20'00" W is −11 169 055.58 m east,
    /// 2 800 000.00 m north.
    #[test]
    fn web_mercator_follows_its_worked_example() {
        let system = System::of_epsg(WEB_MERCATOR).expect("a system");
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
