//! Whether places lie inside a shape.

use geo::{Contains, Coord, MultiPolygon, Orient, indexed::IntervalTreeMultiPolygon, orient::Direction};

/// A shape that is asked for many places.
pub(crate) struct Inside(IntervalTreeMultiPolygon<f64>);

impl Inside {
    /// The tree counts windings, so holes must run against their outer ring.
    pub(crate) fn of(shape: &MultiPolygon<f64>) -> Inside {
        Inside(IntervalTreeMultiPolygon::new(&shape.orient(Direction::Default)))
    }

    pub(crate) fn holds(&self, place: Coord<f64>) -> bool {
        self.0.contains(&place)
    }
}

#[cfg(test)]
mod tests {
    use geo::{LineString, Polygon};

    use super::*;

    #[test]
    fn a_hole_is_not_inside_however_it_runs() {
        let square =
            |low: f64, high: f64| vec![(low, low), (high, low), (high, high), (low, high), (low, low)];
        let mut hole = square(4.0, 6.0);
        for _ in 0..2 {
            hole.reverse();
            let shape =
                Polygon::new(LineString::from(square(0.0, 10.0)), vec![LineString::from(hole.clone())]);
            let inside = Inside::of(&MultiPolygon(vec![shape]));
            let holds = [(1.0, 1.0), (5.0, 5.0), (11.0, 5.0)].map(|(x, y)| inside.holds(Coord { x, y }));
            assert_eq!(holds, [true, false, false]);
        }
    }
}
