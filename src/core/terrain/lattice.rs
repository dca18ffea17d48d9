//! Where the cells of a grid lie on the Earth.

use std::ops::Range;

use geo::{Coord, MapCoords, MultiLineString, MultiPolygon, Point};

use crate::{
    geometry::{Crs, System},
    units::SquareMetres,
};

/// Equatorial radius of the WGS 84 ellipsoid, metres.
const EQUATORIAL_RADIUS: f64 = 6_378_137.0;

/// First eccentricity of the WGS 84 ellipsoid, squared.
const ECCENTRICITY_SQUARED: f64 = 0.006_694_379_990_141_316;

/// What a grid's coordinates count.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Coordinates {
    /// Eastings and northings.
    Projected {
        /// Metres on the ground in one unit: 1, or the length of the foot that the grid counts in; where the projection stretches
        /// lengths beyond what survey grids do, what is left of it.
        metres_per_unit: f64,
    },
    /// Longitudes and latitudes, in degrees.
    Geographic,
}

/// A north-up lattice of cells, counted from the north-west corner.
#[derive(Debug, Clone, PartialEq)]
pub struct Lattice {
    /// Western edge of the first column.
    pub west: f64,
    /// Northern edge of the first row.
    pub north: f64,
    /// Width of a cell, in the unit of the coordinates.
    pub cell_x: f64,
    /// Height of a cell, in the unit of the coordinates.
    pub cell_y: f64,
    /// Rows, southward.
    pub rows: usize,
    /// Columns, eastward.
    pub columns: usize,
    /// What the coordinates count.
    pub coordinates: Coordinates,
    /// The coordinate reference system, where it is known.
    pub crs: Option<Crs>,
}

/// A block of cells.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Window {
    /// Its rows.
    pub rows: Range<usize>,
    /// Its columns.
    pub columns: Range<usize>,
}

impl Lattice {
    /// How many cells there are.
    #[must_use]
    pub fn cells(&self) -> usize {
        self.rows * self.columns
    }

    /// EPSG code of its coordinate reference system, where that is known by one.
    #[must_use]
    pub fn epsg(&self) -> Option<u16> {
        self.crs.as_ref().and_then(Crs::epsg)
    }

    /// The whole of it.
    #[must_use]
    pub fn whole(&self) -> Window {
        Window { rows: 0..self.rows, columns: 0..self.columns }
    }

    /// The lattice of the cells in `window`.
    #[must_use]
    pub fn within(&self, window: &Window) -> Lattice {
        Lattice {
            west: self.west + count(window.columns.start) * self.cell_x,
            north: self.north - count(window.rows.start) * self.cell_y,
            rows: window.rows.len(),
            columns: window.columns.len(),
            ..self.clone()
        }
    }

    /// Centre of a cell, in the unit of the coordinates.
    #[must_use]
    pub fn centre(&self, row: usize, column: usize) -> Coord<f64> {
        Coord {
            x: self.west + (count(column) + 0.5) * self.cell_x,
            y: self.north - (count(row) + 0.5) * self.cell_y,
        }
    }

    /// Columns and rows from the north-west corner to `place`: cell (row, column) reaches from (column, row) to
    /// (column + 1, row + 1).
    #[must_use]
    pub fn in_cells(&self, place: Coord<f64>) -> Coord<f64> {
        Coord { x: (place.x - self.west) / self.cell_x, y: (self.north - place.y) / self.cell_y }
    }

    /// Width and height of a cell of `row`, in metres on the ground.
    ///
    /// In degrees a cell is as wide as the parallel of its centre and as high as the meridian allow on the WGS 84 ellipsoid:
    /// N cos φ and M radians of arc, N = a / √(1 − e² sin² φ), M = N (1 − e²) / (1 − e² sin² φ).
    ///
    /// # Reference
    /// Snyder (1987), *Map Projections, a Working Manual*, USGS Professional Paper 1395, eqs. 4-18 to 4-21.
    #[must_use]
    pub fn cell_metres(&self, row: usize) -> (f64, f64) {
        match self.coordinates {
            Coordinates::Projected { metres_per_unit } => {
                (self.cell_x * metres_per_unit, self.cell_y * metres_per_unit)
            }
            Coordinates::Geographic => {
                let latitude = self.centre(row, 0).y.clamp(-90.0, 90.0).to_radians();
                let sine = libm::sin(latitude);
                let flattened = 1.0 - ECCENTRICITY_SQUARED * sine * sine;
                let prime = EQUATORIAL_RADIUS / flattened.sqrt();
                let meridian = prime * (1.0 - ECCENTRICITY_SQUARED) / flattened;
                let parallel = prime * libm::cos(latitude);
                (self.cell_x.to_radians() * parallel, self.cell_y.to_radians() * meridian)
            }
        }
    }

    /// Plan area of a cell of `row`.
    #[must_use]
    pub fn cell_area(&self, row: usize) -> SquareMetres {
        let (width, height) = self.cell_metres(row);
        SquareMetres(width * height)
    }

    /// How positions get onto the lattice and back; `None` where its coordinate reference system is not known.
    #[must_use]
    pub fn placing(&self) -> Option<Placing> {
        match self.coordinates {
            Coordinates::Geographic if self.crs.is_none() => Some(Placing(System::wgs84())),
            _ => System::of(self.crs.as_ref()?).map(Placing),
        }
    }

    /// The cells that hold `shape` (in the unit of the coordinates) with `margin` cells round it; `None` where the two don't meet.
    #[must_use]
    pub fn window_about(&self, shape: &MultiPolygon<f64>, margin: usize) -> Option<Window> {
        use geo::BoundingRect;
        let bounds = shape.bounding_rect()?;
        let north_west = self.in_cells(Coord { x: bounds.min().x, y: bounds.max().y });
        let south_east = self.in_cells(Coord { x: bounds.max().x, y: bounds.min().y });
        let rows = range(north_west.y, south_east.y, margin, self.rows)?;
        let columns = range(north_west.x, south_east.x, margin, self.columns)?;
        Some(Window { rows, columns })
    }
}

/// Between longitude and latitude and the coordinates of a lattice.
#[derive(Debug, Clone)]
pub struct Placing(System);

impl Placing {
    /// The place of a position (longitude and latitude in degrees, WGS 84) in the unit of the lattice's coordinates.
    #[must_use]
    pub fn place(&self, position: Point<f64>) -> Option<Coord<f64>> {
        self.0.of_geographic(position).map(|(x, y)| Coord { x, y })
    }

    /// The position of a place.
    #[must_use]
    pub fn position(&self, place: Coord<f64>) -> Option<Point<f64>> {
        self.0.to_geographic(place.x, place.y)
    }

    /// A shape put onto the lattice, its edges straight there.
    #[must_use]
    pub fn area(&self, shape: &MultiPolygon<f64>) -> Option<MultiPolygon<f64>> {
        shape.try_map_coords(|corner| self.place(Point(corner)).ok_or(())).ok()
    }

    /// Lines put onto the lattice, straight there between their corners.
    #[must_use]
    pub fn lines(&self, lines: &MultiLineString<f64>) -> Option<MultiLineString<f64>> {
        lines.try_map_coords(|corner| self.place(Point(corner)).ok_or(())).ok()
    }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held between 0 and `end` first")]
fn range(first: f64, last: f64, margin: usize, end: usize) -> Option<Range<usize>> {
    if !(first.is_finite() && last.is_finite()) || last <= 0.0 || first >= count(end) {
        return None;
    }
    let first = first.floor().clamp(0.0, count(end)) as usize;
    let last = last.ceil().clamp(0.0, count(end)) as usize;
    Some(first.saturating_sub(margin)..last.saturating_add(margin).min(end))
}

#[allow(clippy::cast_precision_loss, reason = "no lattice has 2^53 cells")]
pub(crate) fn count(number: usize) -> f64 {
    number as f64
}
