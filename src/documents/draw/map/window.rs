//! The window of a map: which ground lies under its frame, at which scale, and shapes brought to paper.

use geo::{
    BoundingRect, ConvexHull, Coord, Intersects, LineString, MapCoords, MultiLineString, MultiPoint,
    MultiPolygon, Point, Polygon, Rect, Simplify,
};

use crate::draw::map::{clip, scale::Scale};
use hillfolio_core::{
    geometry::{Grid, Plane},
    project::Shape,
    units::Degrees,
};

/// Detail below this many millimetres on paper is left out of a drawn line.
const FINEST_MM: f64 = 0.1;

/// Over fewer degrees the sides of a box in degrees are all but straight on a plane.
const NEAR: f64 = 0.5;

/// How far beyond the frame a shape is still drawn, so that its cut edges and the width of its line lie out of sight.
const OVERDRAW_MM: f64 = 6.0;

/// A shape on paper, mm; y runs down.
#[derive(Debug, Clone, PartialEq)]
pub enum Drawn {
    /// Points.
    Points(Vec<Coord<f64>>),
    /// Lines.
    Lines(Vec<LineString<f64>>),
    /// Polygons.
    Polygons(MultiPolygon<f64>),
}

/// Degrees of latitude beyond which a box of degrees is no oblong on the ground.
const POLAR: f64 = 75.0;

/// Where the frame of a map lies on the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Georeference {
    /// The frame on paper, mm.
    pub frame: Rect<f64>,
    /// Longitude and latitude of its middle.
    pub middle: Point<f64>,
    /// From its middle to its right and to its upper edge, in degrees of longitude and latitude.
    pub half: (f64, f64),
    /// By how many degrees its upper edge is turned from north, clockwise.
    pub azimuth: f64,
}

/// The ground under a map.
#[derive(Debug, Clone, Copy)]
pub struct Window {
    /// The plane that it is drawn on, about the middle of the frame.
    pub plane: Plane,
    /// Its scale.
    pub scale: Scale,
    /// Its frame on paper, mm.
    pub frame: Rect<f64>,
}

impl Window {
    /// Where `position` comes to lie on paper.
    #[must_use]
    pub fn paper(&self, position: Point<f64>) -> Coord<f64> {
        self.on_paper(self.plane.xy(position))
    }

    /// Where a place on the plane comes to lie on paper.
    fn on_paper(&self, ground: Coord<f64>) -> Coord<f64> {
        let middle = self.frame.center();
        Coord { x: middle.x + self.scale.paper(ground.x), y: middle.y - self.scale.paper(ground.y) }
    }

    /// Longitude and latitude of a place on paper.
    #[must_use]
    pub fn position(&self, place: Coord<f64>) -> Point<f64> {
        let middle = self.frame.center();
        let ground =
            Coord { x: self.scale.ground(place.x - middle.x), y: self.scale.ground(middle.y - place.y) };
        self.plane.position(ground)
    }

    /// Where the frame lies on the ground; `None` so near a pole that no box of degrees tells.
    #[must_use]
    pub fn georeference(&self) -> Option<Georeference> {
        let (middle, top, right) = (self.frame.center(), self.frame.min().y, self.frame.max().x);
        let at = self.position(middle);
        if at.y().abs() > POLAR {
            return None;
        }
        let shrink = Degrees(at.y()).cos();
        // Degrees of latitude, as long everywhere, to the right and upward.
        let from_middle = |place: Coord<f64>| {
            let away = self.position(place) - at;
            // A frame may lie over the date line.
            let east = (away.x() + 540.0).rem_euclid(360.0) - 180.0;
            (east * shrink, away.y())
        };
        let (east, north) = from_middle(Coord { x: middle.x, y: top });
        let aside = from_middle(Coord { x: right, y: middle.y });
        Some(Georeference {
            frame: self.frame,
            middle: at,
            half: (libm::hypot(aside.0, aside.1) / shrink, libm::hypot(east, north)),
            azimuth: libm::atan2(east, north).to_degrees(),
        })
    }

    /// `shape` on the plane, in metres: the same for windows of every scale.
    pub(super) fn on_plane(&self, shape: &Shape) -> Shape {
        let xy = |place: Coord<f64>| self.plane.xy(place.into());
        match shape {
            Shape::Points(points) => Shape::Points(points.map_coords(xy)),
            Shape::Lines(lines) => Shape::Lines(lines.map_coords(xy)),
            Shape::Polygons(polygons) => Shape::Polygons(polygons.map_coords(xy)),
        }
    }

    /// A shape on the plane, brought to paper and cut a little outside the frame; `None` where nothing of it shows inside.
    pub(super) fn drawn(&self, ground: &Shape) -> Option<Drawn> {
        let drawn = match ground {
            Shape::Points(points) => {
                let inside = |place: &Coord<f64>| self.frame.intersects(place);
                Drawn::Points(points.iter().map(|point| self.on_paper(point.0)).filter(inside).collect())
            }
            Shape::Lines(lines) => Drawn::Lines(self.lines(lines)),
            Shape::Polygons(polygons) => Drawn::Polygons(self.surface(polygons)),
        };
        drawn.shows(self.frame).then_some(drawn)
    }

    /// Whether the box about a line or a surface lies well outside the frame, so that its corners alone tell that nothing of it shows.
    pub(super) fn is_far_off(&self, shape: &Shape) -> bool {
        let bounds = match shape {
            Shape::Points(_) => None,
            Shape::Lines(lines) => lines.bounding_rect(),
            Shape::Polygons(polygons) => polygons.bounding_rect(),
        };
        // The sides of such a box in degrees bend by far less on the plane than it is grown by here.
        let Some(bounds) = bounds.filter(|bounds| bounds.width().max(bounds.height()) < NEAR) else {
            return false;
        };
        let (low, high) = (bounds.min(), bounds.max());
        let corners = [(low.x, low.y), (low.x, high.y), (high.x, low.y), (high.x, high.y)];
        let corners = MultiPoint::from_iter(corners.map(|(x, y)| Point(self.paper(Point::new(x, y)))));
        corners.bounding_rect().is_some_and(|paper| {
            let margin = OVERDRAW_MM + 0.02 * paper.width().max(paper.height());
            let beyond = Coord { x: margin, y: margin };
            !Rect::new(paper.min() - beyond, paper.max() + beyond).intersects(&self.frame)
        })
    }

    /// Whether all points of a point shape lie inside the frame.
    #[must_use]
    pub fn holds(&self, shape: &Shape) -> bool {
        match shape {
            Shape::Points(points) => points.iter().all(|point| self.frame.intersects(&self.paper(*point))),
            Shape::Lines(_) | Shape::Polygons(_) => false,
        }
    }

    fn lines(&self, lines: &MultiLineString<f64>) -> Vec<LineString<f64>> {
        let finished = lines.map_coords(|place| self.on_paper(place)).simplify(FINEST_MM);
        finished.iter().flat_map(|line| clip::line(line, self.overdrawn())).collect()
    }

    /// Polygons on paper, cut a little outside the frame. One that is smaller than the finest detail keeps all its corners.
    #[must_use]
    pub fn polygons(&self, polygons: &MultiPolygon<f64>) -> MultiPolygon<f64> {
        self.surface(&polygons.map_coords(|place| self.plane.xy(place.into())))
    }

    /// The same of polygons that are on the plane already.
    pub(super) fn surface(&self, polygons: &MultiPolygon<f64>) -> MultiPolygon<f64> {
        let paper = polygons.map_coords(|place| self.on_paper(place));
        let finished = paper.iter().map(|polygon| {
            let simple = polygon.simplify(FINEST_MM);
            if simple.exterior().0.len() > 3 { simple } else { polygon.clone() }
        });
        clip::polygons(&MultiPolygon(finished.collect()), self.overdrawn())
    }

    fn overdrawn(&self) -> Rect<f64> {
        grown(self.frame, OVERDRAW_MM)
    }
}

impl Drawn {
    fn shows(&self, frame: Rect<f64>) -> bool {
        match self {
            Drawn::Points(points) => !points.is_empty(),
            Drawn::Lines(lines) => lines.iter().any(|line| !clip::line(line, frame).is_empty()),
            Drawn::Polygons(polygons) => polygons.iter().any(|polygon| polygon.intersects(&frame)),
        }
    }

    /// Whether any of its outline shows inside the frame.
    #[must_use]
    pub fn outline_shows(&self, frame: Rect<f64>) -> bool {
        match self {
            Drawn::Polygons(polygons) => {
                polygons.iter().flat_map(rings).any(|ring| !clip::line(ring, frame).is_empty())
            }
            Drawn::Points(_) | Drawn::Lines(_) => true,
        }
    }

    /// The outline or the line itself, leg by leg.
    #[must_use]
    pub fn legs(&self) -> Vec<geo::Line<f64>> {
        match self {
            Drawn::Points(_) => Vec::new(),
            Drawn::Lines(lines) => lines.iter().flat_map(LineString::lines).collect(),
            Drawn::Polygons(polygons) => {
                polygons.iter().flat_map(rings).flat_map(LineString::lines).collect()
            }
        }
    }
}

/// The outer ring of a polygon and those of its holes.
pub fn rings(polygon: &Polygon<f64>) -> impl Iterator<Item = &LineString<f64>> {
    std::iter::once(polygon.exterior()).chain(polygon.interiors())
}

/// `frame` with `margin` more on every side.
#[must_use]
pub fn grown(frame: Rect<f64>, margin: f64) -> Rect<f64> {
    let Coord { x: left, y: top } = frame.min();
    let Coord { x: right, y: bottom } = frame.max();
    Rect::new(Coord { x: left - margin, y: top - margin }, Coord { x: right + margin, y: bottom + margin })
}

/// The plane about the middle of `positions` on which the map is upright, with the box that holds them on it, in metres.
/// Upright is grid north where there is a grid that holds the site, else true north.
#[must_use]
pub fn upright(positions: &[Point<f64>], grid: Option<&Grid>) -> Option<(Plane, Rect<f64>)> {
    let up = |place: Point<f64>| grid.and_then(|grid| grid.convergence(place)).unwrap_or_default();
    let mut plane = Plane::about(*positions.first()?);
    let outermost = outermost(positions);
    // The middle of a box that lies askew moves as the plane turns; it settles at once.
    for _ in 0..3 {
        let middle = extent(&plane, &outermost)?.center();
        let centre = plane.position(middle);
        plane = Plane::about(centre).turned(up(centre));
    }
    extent(&plane, positions).map(|extent| (plane, extent))
}

/// The outermost of `positions`, by which alone the middle of their box is found; all of them where they lie far apart, so that
/// degrees don't tell which are outermost.
fn outermost(positions: &[Point<f64>]) -> Vec<Point<f64>> {
    let all = MultiPoint(positions.to_vec());
    match all.bounding_rect() {
        Some(bounds) if bounds.width().max(bounds.height()) < NEAR => {
            all.convex_hull().exterior().points().collect()
        }
        _ => all.0,
    }
}

/// The box that holds `positions` on `plane`, in metres.
#[must_use]
pub fn extent(plane: &Plane, positions: &[Point<f64>]) -> Option<Rect<f64>> {
    let places: Vec<Coord<f64>> = positions.iter().map(|position| plane.xy(*position)).collect();
    LineString(places).bounding_rect()
}

/// Direction on paper, degrees clockwise from the top, of a true `bearing` on a plane.
#[must_use]
pub fn bearing_on_paper(plane: &Plane, bearing: Degrees) -> Degrees {
    Degrees(bearing.0 - plane.up().0)
}
