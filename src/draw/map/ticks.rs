//! Where the lines of a grid meet the frame of a map, and what stands beside them.

use geo::{Coord, LineString, Point, Rect};

use crate::{
    draw::map::{
        clip,
        scale::{one_two_five_below, spaced},
        window::Window,
    },
    geometry::Grid,
    units::number,
};

/// Least distance on paper of two lines of the printed grid, mm.
pub const CLOSEST_MM: f64 = 24.0;

/// Pieces in which a side of the frame is searched for crossings.
const PIECES: u32 = 48;

/// Steps between lines of longitude or latitude, in seconds of arc.
const ARC_STEPS: [f64; 25] = [
    0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 30.0, 60.0, 120.0, 300.0, 600.0, 900.0, 1200.0, 1800.0,
    3600.0, 7200.0, 18_000.0, 36_000.0, 54_000.0, 72_000.0, 108_000.0, 162_000.0,
];

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

/// The coordinates that are printed round a map.
#[derive(Debug, Clone, Copy)]
pub enum Printed<'a> {
    /// Eastings and northings.
    Grid(&'a Grid),
    /// Longitudes and latitudes.
    Degrees,
}

impl<'a> Printed<'a> {
    /// The grid where there is one, else degrees.
    #[must_use]
    pub fn of(grid: Option<&'a Grid>) -> Printed<'a> {
        grid.map_or(Printed::Degrees, Printed::Grid)
    }

    /// The pair of coordinates under a place on paper. Longitudes run on over the 180th meridian.
    fn under(self, window: &Window, place: Coord<f64>) -> Option<[f64; 2]> {
        let position = window.position(place);
        match self {
            Printed::Grid(grid) => grid.to_grid(position).map(|(easting, northing)| [easting, northing]),
            Printed::Degrees => {
                let middle = window.plane.centre().x();
                let east = (position.x() - middle + 540.0).rem_euclid(360.0) - 180.0;
                Some([(middle + east) * 3600.0, position.y() * 3600.0])
            }
        }
    }

    /// The place on paper of a pair of coordinates.
    fn place(self, window: &Window, pair: [f64; 2]) -> Option<Coord<f64>> {
        let position = match self {
            Printed::Grid(grid) => grid.to_geographic(pair[0], pair[1])?,
            Printed::Degrees => Point::new(pair[0] / 3600.0, pair[1] / 3600.0),
        };
        (position.y().abs() <= 90.0).then(|| window.paper(position))
    }

    /// The round step between lines, in the unit of the coordinate, that keeps them `closest` mm apart or more on paper, for
    /// `axis` 0 (eastward) or 1 (northward).
    #[must_use]
    pub fn step(self, window: &Window, axis: usize, closest: f64) -> f64 {
        let metres = window.scale.ground(closest);
        match self {
            Printed::Grid(grid) => {
                let least = metres / grid.metres_per_unit();
                let below = one_two_five_below(least);
                if below >= least { below } else { one_two_five_below(2.5 * below) }
            }
            Printed::Degrees => {
                /// Metres in a second of latitude, near enough to space lines by.
                const METRES_PER_SECOND: f64 = 30.9;
                let narrowing = match axis {
                    0 => libm::cos(window.plane.centre().y().to_radians()).max(0.01),
                    _ => 1.0,
                };
                let least = metres / (METRES_PER_SECOND * narrowing);
                ARC_STEPS.into_iter().find(|step| *step >= least).unwrap_or(324_000.0)
            }
        }
    }

    /// A coordinate as printed.
    fn label(self, value: f64, axis: usize, step: f64) -> String {
        match self {
            Printed::Grid(_) => spaced(&number(value, decimals(step))),
            Printed::Degrees => arc(value, axis, step),
        }
    }
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

/// Digits behind the point that a multiple of `step` needs.
fn decimals(step: f64) -> usize {
    match step {
        step if step >= 1.0 => 0,
        step if step >= 0.1 => 1,
        _ => 2,
    }
}

/// Seconds of arc as degrees, minutes and seconds, no finer than `step` asks, with the letter of its half of the Earth.
fn arc(seconds: f64, axis: usize, step: f64) -> String {
    let turned = match axis {
        0 => (seconds / 3600.0 + 540.0).rem_euclid(360.0) - 180.0,
        _ => seconds / 3600.0,
    };
    let letter = match (axis, turned) {
        (0, turned) if turned.abs() < 1e-9 || (turned.abs() - 180.0).abs() < 1e-9 => "",
        (_, turned) if turned.abs() < 1e-9 => "",
        (0, turned) => {
            if turned < 0.0 {
                " W"
            } else {
                " E"
            }
        }
        (_, turned) => {
            if turned < 0.0 {
                " S"
            } else {
                " N"
            }
        }
    };
    let tenths = (turned.abs() * 36_000.0).round();
    let (degrees, minutes) = ((tenths / 36_000.0).floor(), (tenths / 600.0).floor() % 60.0);
    let rest = tenths % 600.0 / 10.0;
    if step >= 3600.0 {
        format!("{degrees:.0}°{letter}")
    } else if step >= 60.0 {
        format!("{degrees:.0}° {minutes:02.0}′{letter}")
    } else if step >= 1.0 {
        format!("{degrees:.0}° {minutes:02.0}′ {rest:02.0}″{letter}")
    } else {
        format!("{degrees:.0}° {minutes:02.0}′ {rest:04.1}″{letter}")
    }
}

/// The lines of longitude and latitude through the ticks, drawn across the frame.
#[must_use]
pub fn graticule_lines(window: &Window, ticks: &[Tick]) -> Vec<LineString<f64>> {
    let frame = window.frame;
    let pieces = 24_u32;
    let mut lines = Vec::new();
    for level in [true, false] {
        let mut values: Vec<f64> =
            ticks.iter().filter(|tick| tick.side.is_level() == level).map(|tick| tick.value).collect();
        values.sort_by(f64::total_cmp);
        values.dedup();
        // A line is drawn between the outermost values of the other coordinate that the frame's corners and ticks see.
        let Some((low, high)) = other_span(window, usize::from(level)) else { continue };
        for value in values {
            let place = |n: u32| {
                let other = low + (high - low) * f64::from(n) / f64::from(pieces);
                Printed::Degrees.place(window, if level { [value, other] } else { [other, value] })
            };
            let line = LineString((0..=pieces).filter_map(place).collect());
            lines.extend(clip::line(&line, frame));
        }
    }
    lines
}

/// The least and the greatest longitude (0) or latitude (1) round the frame, in seconds.
fn other_span(window: &Window, axis: usize) -> Option<(f64, f64)> {
    let sides = Side::ALL.into_iter().flat_map(|side| {
        let (from, to) = side.ends(window.frame);
        (0..8u32).map(move |n| Coord {
            x: from.x + (to.x - from.x) * f64::from(n) / 8.0,
            y: from.y + (to.y - from.y) * f64::from(n) / 8.0,
        })
    });
    let values = sides.filter_map(|place| Printed::Degrees.under(window, place)).map(|pair| pair[axis]);
    values.fold(None, |span: Option<(f64, f64)>, value| {
        let (low, high) = span.unwrap_or((value, value));
        Some((low.min(value), high.max(value)))
    })
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a test may stop at once")]
mod tests {
    use super::*;
    use crate::{draw::map::scale::Scale, geometry::Plane, units::Degrees};

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
    fn degrees_are_printed_as_finely_as_they_step() {
        assert_eq!(arc(148.5 * 3600.0, 0, 1800.0), "148° 30′ E");
        assert_eq!(arc(-36.0 * 3600.0, 1, 3600.0), "36° S");
        assert_eq!(arc(-(36.0 * 3600.0 + 61.0), 1, 1.0), "36° 01′ 01″ S");
        assert_eq!(arc(180.5 * 3600.0, 0, 1800.0), "179° 30′ W");
        assert_eq!(arc(0.2, 1, 0.2), "0° 00′ 00.2″ N");
        // Rounding carries into the minutes: never 60″.
        assert_eq!(arc(59.99, 0, 0.1), "0° 01′ 00.0″ E");
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
