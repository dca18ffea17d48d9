//! A leg of a traverse: bearing, distance and rise from one peg to the next, rounded as they are printed.

use geo::Coord;

use crate::units::{Degrees, Metres, number};

/// A leg longer than this is no tape's: its distance is given level.
const LONGEST_TAPE: f64 = 50.0;

/// A bearing is given in whole degrees where half a degree is no more than this at the end of the leg, m; else in tenths.
const ASIDE: f64 = 0.25;

/// From where a leg starts.
#[derive(Debug, Clone, PartialEq)]
pub enum LegFrom {
    /// A mark that is drawn, in words.
    Mark(String),
    /// A peg of a control row.
    Peg {
        /// The number of the row.
        row: u32,
        /// The number of the peg.
        peg: u32,
    },
    /// What was taped on the row from this peg of its control row.
    Taped(u32),
    /// The end of the leg before.
    Before,
    /// Nothing: there is no mark, and only the position is given.
    Nothing,
}

/// A leg, as it is printed.
#[derive(Debug, Clone, PartialEq)]
pub struct TraverseLeg {
    /// From where.
    pub from: LegFrom,
    /// Clockwise from the north that the plan's bearings are from.
    pub bearing: Degrees,
    /// Digits behind the point of the bearing.
    pub digits: usize,
    /// How far, to a tenth of a metre.
    pub distance: Metres,
    /// Whether that is level; else the tape is pulled tight along the ground.
    pub level: bool,
    /// Rise from its start to its end, a fall below 0, to a centimetre; `None` where no model tells.
    pub rise: Option<Metres>,
    /// Where the printed figures lead to, on the plane of the area.
    pub drawn: Coord<f64>,
}

/// How bearings are given.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct North {
    /// What a compass reads east of true north; `None` where bearings are from true north.
    pub declination: Option<Degrees>,
}

impl North {
    /// A way on the plane, whose y axis is true north, as a bearing with so many digits.
    #[must_use]
    pub fn bearing(self, way: Coord<f64>, digits: usize) -> Degrees {
        let own = libm::atan2(way.x, way.y).to_degrees() - self.declination.unwrap_or_default().0;
        let step = if digits == 0 { 1.0 } else { 10.0 };
        Degrees((own.rem_euclid(360.0) * step).round() / step % 360.0)
    }

    /// The way of length one that a bearing leads.
    #[must_use]
    pub fn way(self, bearing: Degrees) -> Coord<f64> {
        let own = Degrees(bearing.0 + self.declination.unwrap_or_default().0);
        Coord { x: own.sin(), y: own.cos() }
    }
}

impl TraverseLeg {
    /// The leg from `start`, where the figures before led to, to the place `to`, which lies `rise` higher.
    ///
    /// It starts from where rounded figures led and not from where they should have led: what one leg loses by rounding the next gives
    /// back, so that no error of rounding adds up along a row.
    #[must_use]
    pub fn to(
        from: LegFrom,
        start: Coord<f64>,
        to: Coord<f64>,
        rise: Option<f64>,
        north: North,
    ) -> TraverseLeg {
        let way = to - start;
        let plan = libm::hypot(way.x, way.y);
        let rise = rise.map(|rise| Metres((rise * 100.0).round() / 100.0));
        let level = plan > LONGEST_TAPE || rise.is_none();
        let own = if level { plan } else { libm::hypot(plan, rise.unwrap_or_default().0) };
        let distance = Metres((own * 10.0).round() / 10.0);
        let digits = usize::from(plan * 0.5_f64.to_radians() > ASIDE);
        let bearing = north.bearing(way, digits);
        let fallen = if level { 0.0 } else { rise.unwrap_or_default().0 };
        let led = (distance.0 * distance.0 - fallen * fallen).max(0.0).sqrt();
        TraverseLeg { from, bearing, digits, distance, level, rise, drawn: start + north.way(bearing) * led }
    }
}

impl TraverseLeg {
    /// Its bearing as it is printed, such as 047° or 270.1°.
    #[must_use]
    pub fn bearing_words(&self) -> String {
        let width = if self.digits == 0 { 3 } else { 4 + self.digits };
        format!("{:0width$.digits$}°", self.bearing.0, digits = self.digits)
    }

    /// Its distance in metres as it is printed.
    #[must_use]
    pub fn distance_words(&self) -> String {
        number(self.distance.0, 1)
    }

    /// Its rise in centimetres as it is printed, with its sign; `None` where no model tells.
    #[must_use]
    pub fn rise_words(&self) -> Option<String> {
        let rise = (self.rise?.0 * 100.0).round();
        let sign = if rise > 0.0 { "+" } else { "" };
        Some(format!("{sign}{}", number(rise, 0)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 12 m east and 16 m north are 20 m at 36.87°, or 37; with a rise of 15 m the tape reads 25 m.
    #[test]
    fn a_leg_is_what_compass_and_tape_read() {
        let leg = |rise| {
            TraverseLeg::to(
                LegFrom::Before,
                Coord::zero(),
                Coord { x: 12.0, y: 16.0 },
                rise,
                North::default(),
            )
        };
        let flat = leg(Some(0.004));
        assert_eq!((flat.bearing, flat.digits, flat.distance), (Degrees(37.0), 0, Metres(20.0)));
        assert!((flat.drawn.x - 12.036).abs() < 1e-3 && (flat.drawn.y - 15.973).abs() < 1e-3, "{flat:?}");
        let up = leg(Some(15.0));
        assert_eq!((up.distance, up.level), (Metres(25.0), false));
        assert!((libm::hypot(up.drawn.x, up.drawn.y) - 20.0).abs() < 1e-9);
        assert!(leg(None).level);
        // Far legs ask for a tenth of a degree and a level distance.
        let far = Coord { x: -300.0, y: 0.5 };
        let far = TraverseLeg::to(LegFrom::Before, Coord::zero(), far, Some(20.0), North::default());
        assert_eq!((far.bearing, far.digits, far.level), (Degrees(270.1), 1, true));
    }

    /// A compass 12° east of true reads 12° less than the true bearing, and leads back to the same way.
    #[test]
    fn a_compass_reads_from_where_it_points() {
        let north = North { declination: Some(Degrees(12.4)) };
        let bearing = north.bearing(Coord { x: 0.0, y: 5.0 }, 1);
        assert_eq!(bearing, Degrees(347.6));
        let way = north.way(bearing);
        assert!(way.x.abs() < 1e-9 && (way.y - 1.0).abs() < 1e-9);
    }
}
