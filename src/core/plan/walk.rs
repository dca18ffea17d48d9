//! A course with the metres of plan walked to each of its corners.

use geo::{Coord, LineString};

/// A course that is walked along.
pub(crate) struct Walk<'a> {
    corners: &'a [Coord<f64>],
    walked: Vec<f64>,
}

impl<'a> Walk<'a> {
    pub(crate) fn of(line: &'a LineString<f64>) -> Walk<'a> {
        let mut walked = vec![0.0];
        let mut sum = 0.0;
        for edge in line.lines() {
            sum += libm::hypot(edge.dx(), edge.dy());
            walked.push(sum);
        }
        Walk { corners: &line.0, walked }
    }

    /// Its length in plan.
    pub(crate) fn length(&self) -> f64 {
        self.walked.last().copied().unwrap_or_default()
    }

    /// The place so far along it, held between its ends.
    pub(crate) fn at(&self, along: f64) -> Coord<f64> {
        let along = along.clamp(0.0, self.length());
        let after =
            self.walked.partition_point(|walked| *walked < along).clamp(1, self.corners.len().max(2) - 1);
        let (Some(one), Some(other)) = (self.corners.get(after - 1), self.corners.get(after)) else {
            return self.corners.first().copied().unwrap_or(Coord::zero());
        };
        let own = self.walked[after] - self.walked[after - 1];
        let share = if own > 0.0 { (along - self.walked[after - 1]) / own } else { 0.0 };
        *one + (*other - *one) * share
    }

    /// How far along it the place nearest to `place` lies.
    pub(crate) fn along(&self, place: Coord<f64>) -> f64 {
        let mut best = (f64::INFINITY, 0.0);
        for (at, pair) in self.corners.windows(2).enumerate() {
            let (way, apart) = (pair[1] - pair[0], place - pair[0]);
            let square = way.x * way.x + way.y * way.y;
            let share = if square > 0.0 { (way.x * apart.x + way.y * apart.y) / square } else { 0.0 };
            let share = share.clamp(0.0, 1.0);
            let off = apart - way * share;
            let off = libm::hypot(off.x, off.y);
            if off < best.0 {
                best = (off, self.walked[at] + share * square.sqrt());
            }
        }
        best.1
    }

    /// How far the course strays from the straight way between two places of it.
    pub(crate) fn strays(&self, from: f64, to: f64) -> f64 {
        let (one, other) = (self.at(from), self.at(to));
        let way = other - one;
        let length = libm::hypot(way.x, way.y).max(f64::MIN_POSITIVE);
        let pieces = (to - from).abs().ceil().max(1.0);
        let off = |piece: u32| {
            let apart = self.at(from + (to - from) * (f64::from(piece) / pieces)) - one;
            (way.x * apart.y - way.y * apart.x).abs() / length
        };
        (1..pieces as u32).map(off).fold(0.0, f64::max)
    }

    /// The places of pegs from `from` to `to`, either way: `step` apart, nearer together where the course bends away from the tape by
    /// more than `most`, the last at `to`.
    pub(crate) fn steps(&self, from: f64, to: f64, step: f64, most: f64) -> Vec<f64> {
        const HALVINGS: u32 = 2;
        let way = if to < from { -1.0 } else { 1.0 };
        let (mut at, mut steps) = (from, Vec::new());
        while (to - at) * way > 1e-6 {
            let left = (to - at).abs();
            let fits = |length: &f64| self.strays(at, at + way * length) <= most;
            // A short rest goes with the step before it.
            let own = if left <= 1.25 * step && fits(&left) {
                left
            } else {
                let mut halved = (0..=HALVINGS).map(|times| step / f64::from(1 << times));
                halved.find(fits).unwrap_or(step / f64::from(1 << HALVINGS)).min(left)
            };
            at += way * own;
            steps.push(if (to - at).abs() < 1e-6 { to } else { at });
        }
        steps
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: on a circle of 30 m radius a tape of length s leaves the row by s²/8r: one of 20 m by 1.7 m, of 10 m by 0.4 m, of the
    /// 14.2 m that are left after eight by 0.8 m.
    #[test]
    fn pegs_stand_nearer_together_where_a_row_bends() {
        let corner = |at: u32| {
            let angle = f64::from(at) * 0.5_f64.to_radians();
            Coord { x: 30.0 * libm::sin(angle), y: 30.0 * libm::cos(angle) }
        };
        let bend = LineString((0..=360).map(corner).collect());
        let walk = Walk::of(&bend);
        assert!((walk.strays(0.0, 20.0) - 1.65).abs() < 0.05 && walk.strays(0.0, 10.0) < 0.45);
        let steps = walk.steps(0.0, walk.length(), 20.0, 0.5);
        assert_eq!(steps.len(), 10, "{steps:?}");
        assert!((steps[0] - 10.0).abs() < 1e-9 && (steps[9] - walk.length()).abs() < 1e-9);
        let straight = LineString::from(vec![(0.0, 0.0), (65.0, 0.0)]);
        let walk = Walk::of(&straight);
        assert_eq!(walk.steps(0.0, 65.0, 20.0, 0.5), [20.0, 40.0, 65.0]);
        assert_eq!(walk.steps(65.0, 0.0, 20.0, 0.5), [45.0, 25.0, 0.0]);
        assert!((walk.along(Coord { x: 12.0, y: 3.0 }) - 12.0).abs() < 1e-9);
    }
}
