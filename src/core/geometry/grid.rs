//! The survey grid that is printed on maps: eastings and northings by EPSG code.
//!
//! # Assumption
//! Where the grid's definition gives no shift from WGS 84 (GDA94, GDA2020, NZGD2000, NAD83, ETRS89 and the like), positions
//! in the folder are taken to be on the grid's own datum: a null shift, as EPSG's own ballpark operations have it. A
//! printed map says so. GDA94 and GDA2020 lie 1.8 m apart, so a project has to name the one that its positions are on.
//!
//! # Reference
//! Definitions: the EPSG dataset as carried by `crs-definitions`. Formulas: Snyder (1987), *Map Projections, a Working
//! Manual*, USGS Professional Paper 1395, and Karney (2011), J. Geodesy 85:475-485, as carried out by `proj4rs`.

use geo::Point;
use proj4rs::{Proj, transform::transform};

use crate::{
    geometry::{Crs, distance},
    units::Degrees,
};

/// A position that does not come back to within this many degrees (about 1 cm) lies outside what the grid can hold.
const ROUND_TRIP_DEGREES: f64 = 1e-7;

/// A step northward, in degrees, over which the direction of true north is taken.
const NORTHWARD_STEP_DEGREES: f64 = 1e-4;

/// A grid that stretches lengths by more than this was not made for the place.
const LENGTHS_OFF: f64 = 0.05;

/// Projections whose lengths grow with the latitude: right for drawing the world, and nothing to measure a site on.
const OF_THE_WORLD: [&str; 11] =
    ["merc", "webmerc", "eqc", "cea", "sinu", "moll", "robin", "eqearth", "mill", "laea", "aea"];

/// Projections that keep angles, so that one factor turns their lengths into those on the ground.
const CONFORMAL: [&str; 10] =
    ["utm", "tmerc", "etmerc", "merc", "lcc", "omerc", "somerc", "stere", "sterea", "krovak"];

/// Web Mercator, whose sphere makes its lengths differ northward and eastward by a little.
const WEB_MERCATOR: u16 = 3857;

/// A projected coordinate system that counts eastward and northward.
#[derive(Debug, Clone)]
pub struct Grid {
    crs: Crs,
    projected: Proj,
    geographic: Proj,
}

impl Grid {
    /// The grid with this EPSG code, on which a site can be measured. `None` where there is no such grid, where it is geographic
    /// (degrees), counts westward, has no known way to WGS 84 but by a mean shift (NAD27, NZGD49), or is Web Mercator.
    #[must_use]
    pub fn of_epsg(epsg: u16) -> Option<Grid> {
        let crs = Crs::of_epsg(epsg).filter(|crs| epsg != WEB_MERCATOR && crs.strays().is_none())?;
        Grid::of(&crs)
    }

    /// The grid of a projected system; `None` where it is geographic or its projection is not carried out here.
    #[must_use]
    pub fn of(crs: &Crs) -> Option<Grid> {
        if crs.in_degrees() {
            return None;
        }
        let projected = Proj::from_proj_string(crs.parameters()).ok()?;
        if projected.is_latlong() || projected.is_geocent() {
            return None;
        }
        let geographic = Proj::from_proj_string("+proj=longlat +datum=WGS84 +no_defs").ok()?;
        Some(Grid { crs: crs.clone(), projected, geographic })
    }

    /// The coordinate reference system.
    #[must_use]
    pub fn crs(&self) -> &Crs {
        &self.crs
    }

    /// The EPSG code, where it is known by one.
    #[must_use]
    pub fn epsg(&self) -> Option<u16> {
        self.crs.epsg()
    }

    /// Its name as printed, such as `GDA2020 / MGA zone 55`.
    #[must_use]
    pub fn name(&self) -> &str {
        self.crs.name()
    }

    /// The name of its datum, such as `GDA2020`.
    #[must_use]
    pub fn datum(&self) -> &str {
        self.crs.datum()
    }

    /// Whether positions on WGS 84 are shifted to the grid's datum, by the parameters of its definition; where not, they are
    /// taken to be on it.
    #[must_use]
    pub fn shifts_datum(&self) -> bool {
        self.crs.shifts()
    }

    /// Whether it was made for the world or a large part of it, so that no place lies outside it.
    #[must_use]
    pub fn of_the_world(&self) -> bool {
        OF_THE_WORLD.contains(&self.crs.method())
    }

    /// Metres on the ground in a metre of the grid at `position`, the same in every direction; `None` where they differ by
    /// direction by more than a hundredth.
    #[must_use]
    pub fn ground_metres(&self, position: Point<f64>) -> Option<f64> {
        let (east, north) = self.lengths(position)?;
        let sound = CONFORMAL.contains(&self.crs.method()) && (east / north - 1.0).abs() < 0.01;
        sound.then(|| 2.0 / (east + north))
    }

    /// Metres in one unit of the grid: 1, or the length of the foot that it counts in.
    #[must_use]
    pub fn metres_per_unit(&self) -> f64 {
        self.projected.to_meter()
    }

    /// The sign of the grid's unit: `m`, or `ft` for either foot.
    #[must_use]
    pub fn unit(&self) -> &'static str {
        match self.metres_per_unit() {
            metres if (metres - 1.0).abs() < 1e-9 => "m",
            metres if (metres - 0.3048).abs() < 1e-5 => "ft",
            _ => "units",
        }
    }

    /// Easting and northing of `position` (longitude and latitude in degrees), in the grid's unit.
    #[must_use]
    pub fn to_grid(&self, position: Point<f64>) -> Option<(f64, f64)> {
        let grid = self.forward(position)?;
        let back = self.to_geographic(grid.0, grid.1)?;
        let east_off = turn_of(back.x() - position.x());
        let close = |off: f64| off.abs() < ROUND_TRIP_DEGREES;
        (close(east_off) && close(back.y() - position.y())).then_some(grid)
    }

    /// Longitude and latitude in degrees of an easting and a northing in the grid's unit.
    #[must_use]
    pub fn to_geographic(&self, easting: f64, northing: f64) -> Option<Point<f64>> {
        let (longitude, latitude) = shifted(&self.projected, &self.geographic, (easting, northing))?;
        let latitude = latitude.to_degrees();
        (latitude.abs() <= 90.0).then(|| Point::new(turn_of(longitude.to_degrees()), latitude))
    }

    /// Whether lengths at `position` come out right to 5 %, northward and eastward. Where they don't, the site lies far outside
    /// the land that the grid was made for, as with a wrong zone.
    #[must_use]
    pub fn suits(&self, position: Point<f64>) -> bool {
        let right = |length: f64| (length - 1.0).abs() < LENGTHS_OFF;
        self.lengths(position).is_some_and(|(east, north)| right(east) && right(north))
    }

    /// Metres of the grid in a metre on the ground at `position`, eastward and northward.
    fn lengths(&self, position: Point<f64>) -> Option<(f64, f64)> {
        let step = if position.y() < 0.0 { NORTHWARD_STEP_DEGREES } else { -NORTHWARD_STEP_DEGREES };
        let of = |east: f64, north: f64| {
            let there = Point::new(position.x() + east, position.y() + north);
            let (a, b) = (self.to_grid(position)?, self.to_grid(there)?);
            let on_grid = libm::hypot(b.0 - a.0, b.1 - a.1) * self.metres_per_unit();
            Some(on_grid / distance(position, there).0)
        };
        Some((of(step, 0.0)?, of(0.0, step)?))
    }

    /// How far grid north lies clockwise (east) of true north at `position`.
    #[must_use]
    pub fn convergence(&self, position: Point<f64>) -> Option<Degrees> {
        let step = if position.y() < 0.0 { NORTHWARD_STEP_DEGREES } else { -NORTHWARD_STEP_DEGREES };
        let here = self.to_grid(position)?;
        let there = self.to_grid(Point::new(position.x(), position.y() + step))?;
        let (east, north) = ((there.0 - here.0) * step.signum(), (there.1 - here.1) * step.signum());
        Some(Degrees(-libm::atan2(east, north).to_degrees()))
    }

    fn forward(&self, position: Point<f64>) -> Option<(f64, f64)> {
        shifted(&self.geographic, &self.projected, (position.x().to_radians(), position.y().to_radians()))
    }
}

/// One pair of numbers through the transformation; `None` where it fails or gives no number.
fn shifted(from: &Proj, to: &Proj, pair: (f64, f64)) -> Option<(f64, f64)> {
    let mut place = (pair.0, pair.1, 0.0);
    transform(from, to, &mut place).ok()?;
    (place.0.is_finite() && place.1.is_finite()).then_some((place.0, place.1))
}

/// `degrees` brought to −180 … 180.
fn turn_of(degrees: f64) -> f64 {
    if (-180.0..=180.0).contains(&degrees) { degrees } else { (degrees + 180.0).rem_euclid(360.0) - 180.0 }
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a test may stop at once")]
mod tests {
    use super::*;

    #[test]
    fn grids_are_known_by_name_and_what_is_no_grid_is_refused() {
        let grid = Grid::of_epsg(7855).expect("a grid");
        assert_eq!((grid.name(), grid.datum(), grid.unit()), ("GDA2020 / MGA zone 55", "GDA2020", "m"));
        for refused in [4326, 7844, 3857, 26711, 27200, 2048, 2000, 1, 65_000] {
            assert!(Grid::of_epsg(refused).is_none(), "{refused}");
        }
        assert_eq!(Grid::of_epsg(2272).map(|grid| grid.unit()), Some("ft"));
        let shifts =
            [7855, 28355, 2193, 32760, 27700].map(|code| Grid::of_epsg(code).map(|g| g.shifts_datum()));
        assert_eq!(shifts, [false, false, false, false, true].map(Some));
    }

    #[test]
    fn every_grid_of_the_dataset_survives_every_corner_of_the_earth() {
        let corners = [(0.0, 90.0), (0.0, -90.0), (180.0, 0.0), (-180.0, 45.0), (148.0, -36.0), (-93.0, 0.0)];
        for grid in (1..=u16::MAX).filter_map(Grid::of_epsg) {
            for (longitude, latitude) in corners {
                let place = Point::new(longitude, latitude);
                if let Some((easting, northing)) = grid.to_grid(place) {
                    assert!(easting.is_finite() && northing.is_finite(), "{}", grid.name());
                }
                let _ = grid.convergence(place);
            }
        }
    }

    #[test]
    fn a_wrong_zone_is_known_by_its_lengths() {
        let grid = Grid::of_epsg(7855).expect("a grid");
        assert!(grid.suits(Point::new(148.0, -36.0)) && grid.suits(Point::new(153.6, -28.6)));
        assert!(!grid.suits(Point::new(115.9, -32.0)) && !grid.suits(Point::new(20.0, 36.0)));
        assert!(Grid::of_epsg(2272).expect("a grid").suits(Point::new(-77.0, 40.0)));
    }

    /// On the sphere the convergence of a transverse Mercator is atan(tan(λ − λ₀) sin φ), from the right-angled triangle
    /// at the pole; the ellipsoid changes it by less than 0.01° within a zone.
    #[test]
    fn convergence_follows_the_meridians() {
        let grid = Grid::of_epsg(7855).expect("a grid");
        let place = Point::new(149.0, -36.0);
        let sphere =
            libm::atan(libm::tan(2.0_f64.to_radians()) * libm::sin(-36.0_f64.to_radians())).to_degrees();
        let convergence = grid.convergence(place).expect("within the zone").0;
        assert!((convergence - sphere).abs() < 0.01, "{convergence} {sphere}");
        assert!(grid.convergence(Point::new(147.0, -36.0)).expect("on the meridian").0.abs() < 1e-6);
    }
}
