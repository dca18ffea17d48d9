//! Where the lines of a grid meet the frame of a map, and what stands beside them.

use geo::{Coord, Rect};

use crate::draw::map::{printed::Printed, window::Window};

/// Pieces in which a side of the frame is searched for crossings.
const PIECES: u32 = 48;

/// A side of the frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "the words of the trade")]
pub enum Side {
    Top,
    Right,
    Bottom,
    Left,
}

impl Side {
    /// All four.
    pub const ALL: [Side; 4] = [Side::Top, Side::Right, Side::Bottom, Side::Left];

    /// Its two ends on `frame`.
    #[must_use]
    pub fn ends(self, frame: Rect<f64>) -> (Coord<f64>, Coord<f64>) {
        let (low, high) = (frame.min(), frame.max());
        let (top_right, bottom_left) = (Coord { x: high.x, y: low.y }, Coord { x: low.x, y: high.y });
        match self {
            Side::Top => (low, top_right),
            Side::Right => (top_right, high),
            Side::Bottom => (bottom_left, high),
            Side::Left => (low, bottom_left),
        }
    }

    /// Whether it runs across the page: its ticks are those of eastings or longitudes.
    #[must_use]
    pub fn is_level(self) -> bool {
        matches!(self, Side::Top | Side::Bottom)
    }
}

/// A tick on the frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Tick {
    /// The side it stands on.
    pub side: Side,
    /// Where, on paper.
    pub at: Coord<f64>,
    /// The easting, northing, longitude or latitude there.
    pub value: f64,
    /// What is printed beside it.
    pub label: String,
}

/// Every tick on the frame of `window`, neighbours `closest` mm apart or more.
#[must_use]
pub fn ticks(window: &Window, printed: Printed<'_>, closest: f64) -> Vec<Tick> {
    let mut ticks = Vec::new();
    for side in Side::ALL {
        let axis = usize::from(!side.is_level());
        let step = printed.step(window, axis, closest);
        let (from, to) = side.ends(window.frame);
        let at = |part: f64| Coord { x: from.x + part * (to.x - from.x), y: from.y + part * (to.y - from.y) };
        let value = |part: f64| printed.under(window, at(part)).map(|pair| pair[axis]);
        for piece in 0..PIECES {
            let ends = (f64::from(piece) / f64::from(PIECES), f64::from(piece + 1) / f64::from(PIECES));
            let (Some(low), Some(high)) = (value(ends.0), value(ends.1)) else { continue };
            // A jump, as over a pole, is no crossing.
            if (high - low).abs() > 4.0 * step {
                continue;
            }
            for line in multiples_between(low, high, step) {
                let part = crossing(&value, ends, line);
                ticks.push(Tick { side, at: at(part), value: line, label: printed.label(line, axis, step) });
            }
        }
    }
    ticks
}

/// Where the lines through the ticks cross inside the frame.
#[must_use]
pub fn crossings(window: &Window, printed: Printed<'_>, ticks: &[Tick]) -> Vec<Coord<f64>> {
    let values = |level: bool| {
        let mut values: Vec<f64> =
            ticks.iter().filter(|tick| tick.side.is_level() == level).map(|tick| tick.value).collect();
        values.sort_by(f64::total_cmp);
        values.dedup();
        values
    };
    let (eastward, northward) = (values(true), values(false));
    let mut places = Vec::new();
    for east in eastward {
        for &north in &northward {
            places.extend(printed.place(window, [east, north]));
        }
    }
    places
}

/// Multiples of `step` from `a` (left out) to `b` (taken in), whichever way they run.
fn multiples_between(a: f64, b: f64, step: f64) -> Vec<f64> {
    let (first, last) = ((a.min(b) / step).floor() + 1.0, (a.max(b) / step).floor());
    let mut multiples = Vec::new();
    let mut count = first;
    while count <= last {
        multiples.push(count * step);
        count += 1.0;
    }
    multiples
}

/// The part of a side at which `value` is `wanted`, by halving.
fn crossing(value: &impl Fn(f64) -> Option<f64>, ends: (f64, f64), wanted: f64) -> f64 {
    let (mut low, mut high) = ends;
    let rises = value(high) > value(low);
    for _ in 0..30 {
        let middle = (low + high) / 2.0;
        match value(middle) {
            Some(here) if (here < wanted) == rises => low = middle,
            _ => high = middle,
        }
    }
    (low + high) / 2.0
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a test may stop at once")]
mod tests {
    use super::*;
    use geo::Point;

    use crate::draw::map::{printed::CLOSEST_MM, scale::Scale};
    use hillfolio_core::{
        geometry::{Grid, Plane},
        units::Degrees,
    };

    fn window(longitude: f64, latitude: f64, denominator: u32, up: Degrees) -> Window {
        let frame = Rect::new(Coord { x: 5.0, y: 5.0 }, Coord { x: 171.0, y: 150.0 });
        let plane = Plane::about(Point::new(longitude, latitude)).turned(up);
        Window { plane, scale: Scale::of(denominator), frame }
    }

    #[test]
    fn a_tick_stands_where_its_coordinate_is() {
        let grid = Grid::of_epsg(7855).expect("a grid");
        let place = Point::new(148.0, -36.0);
        for denominator in [250, 1_000, 7_500, 50_000] {
            let window = window(148.0, -36.0, denominator, grid.convergence(place).expect("on the grid"));
            let step = Printed::Grid(&grid).step(&window, 0, CLOSEST_MM);
            assert!((CLOSEST_MM..2.5 * CLOSEST_MM + 0.1).contains(&window.scale.paper(step)), "{step}");
            let ticks = ticks(&window, Printed::Grid(&grid), CLOSEST_MM);
            for side in Side::ALL {
                let count = ticks.iter().filter(|tick| tick.side == side).count();
                assert!((2..8).contains(&count), "1:{denominator} {side:?}: {count}");
            }
            for tick in &ticks {
                let (easting, northing) = grid.to_grid(window.position(tick.at)).expect("on the grid");
                let here = if tick.side.is_level() { easting } else { northing };
                let off = window.scale.paper((here - tick.value).abs());
                assert!(off < 0.01, "{} is {off} mm off", tick.label);
                assert!((tick.value / step - (tick.value / step).round()).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn longitudes_run_on_over_the_date_line() {
        let window = window(180.0, -17.0, 7_500, Degrees(0.0));
        let labels: Vec<String> = ticks(&window, Printed::Degrees, CLOSEST_MM)
            .into_iter()
            .filter(|tick| tick.side == Side::Bottom)
            .map(|tick| tick.label)
            .collect();
        assert!(labels.iter().any(|label| label.ends_with('E')), "{labels:?}");
        assert!(labels.iter().any(|label| label.ends_with('W')), "{labels:?}");
    }

    #[test]
    fn no_place_on_the_earth_upsets_the_ticks() {
        let places = [(0.0, 90.0), (0.0, -90.0), (20.0, 89.999), (180.0, 0.0), (-180.0, 72.0), (0.0, 0.0)];
        for (longitude, latitude) in places {
            for denominator in [250, 25_000, 20_000_000, 400_000_000] {
                let window = window(longitude, latitude, denominator, Degrees(0.0));
                for tick in ticks(&window, Printed::Degrees, CLOSEST_MM) {
                    assert!(tick.at.x.is_finite() && tick.at.y.is_finite());
                }
            }
        }
    }
}
