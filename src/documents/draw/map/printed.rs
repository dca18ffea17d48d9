//! The coordinates that are printed round a map: on a survey grid, or in degrees.

use geo::{Coord, Point};

use crate::draw::map::{
    scale::{one_two_five_below, spaced},
    window::Window,
};
use hillfolio_core::{geometry::Grid, units::number};

/// Least distance on paper of two lines of the printed grid, mm.
pub const CLOSEST_MM: f64 = 24.0;

/// Steps between lines of longitude or latitude, in seconds of arc.
const ARC_STEPS: [f64; 25] = [
    0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 30.0, 60.0, 120.0, 300.0, 600.0, 900.0, 1200.0, 1800.0,
    3600.0, 7200.0, 18_000.0, 36_000.0, 54_000.0, 72_000.0, 108_000.0, 162_000.0,
];

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
    pub(super) fn under(self, window: &Window, place: Coord<f64>) -> Option<[f64; 2]> {
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
    pub(super) fn place(self, window: &Window, pair: [f64; 2]) -> Option<Coord<f64>> {
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
    pub(super) fn label(self, value: f64, axis: usize, step: f64) -> String {
        match self {
            Printed::Grid(_) => spaced(&number(value, decimals(step))),
            Printed::Degrees => arc(value, axis, step),
        }
    }
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

#[cfg(test)]
mod tests {
    use super::*;

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
}
