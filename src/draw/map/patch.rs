//! Oblong pieces of paper, turned or not, and whether two of them overlap.

use geo::{Coord, Rect};

/// An oblong about a centre, turned clockwise on paper (y runs down).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Patch {
    /// Its centre, mm.
    pub centre: Coord<f64>,
    /// Half its width and half its height, mm.
    pub half: (f64, f64),
    /// Degrees by which it is turned.
    pub turn: f64,
}

impl Patch {
    /// An oblong of `width` × `height` about `centre`.
    #[must_use]
    pub fn new(centre: Coord<f64>, (width, height): (f64, f64), turn: f64) -> Patch {
        Patch { centre, half: (width / 2.0, height / 2.0), turn }
    }

    /// The piece of paper under a straight line of some width.
    #[must_use]
    pub fn along(from: Coord<f64>, to: Coord<f64>, width: f64) -> Patch {
        let (dx, dy) = (to.x - from.x, to.y - from.y);
        let centre = Coord { x: (from.x + to.x) / 2.0, y: (from.y + to.y) / 2.0 };
        Patch::new(centre, (libm::hypot(dx, dy), width), libm::atan2(dy, dx).to_degrees())
    }

    /// The same with `margin` more on every side.
    #[must_use]
    pub fn grown(mut self, margin: f64) -> Patch {
        self.half = (self.half.0 + margin, self.half.1 + margin);
        self
    }

    /// The directions of its sides.
    fn axes(&self) -> [Coord<f64>; 2] {
        let (sin, cos) = (libm::sin(self.turn.to_radians()), libm::cos(self.turn.to_radians()));
        [Coord { x: cos, y: sin }, Coord { x: -sin, y: cos }]
    }

    /// Its corners.
    #[must_use]
    pub fn corners(&self) -> [Coord<f64>; 4] {
        let [along, across] = self.axes();
        let (w, h) = self.half;
        [(-w, -h), (w, -h), (w, h), (-w, h)].map(|(a, b)| Coord {
            x: self.centre.x + a * along.x + b * across.x,
            y: self.centre.y + a * along.y + b * across.y,
        })
    }

    /// Whether it lies inside `frame`.
    #[must_use]
    pub fn within(&self, frame: Rect<f64>) -> bool {
        let (low, high) = (frame.min(), frame.max());
        self.corners()
            .iter()
            .all(|corner| (low.x..=high.x).contains(&corner.x) && (low.y..=high.y).contains(&corner.y))
    }

    /// Whether the two share any paper: neither has a side that keeps them apart (separating axis theorem).
    #[must_use]
    pub fn overlaps(&self, other: &Patch) -> bool {
        let reach = |patch: &Patch| libm::hypot(patch.half.0, patch.half.1);
        let (dx, dy) = (other.centre.x - self.centre.x, other.centre.y - self.centre.y);
        let room = reach(self) + reach(other);
        if dx * dx + dy * dy > room * room {
            return false;
        }
        let (mine, theirs) = (self.axes(), other.axes());
        mine.iter().chain(&theirs).all(|axis| {
            let span = |axes: &[Coord<f64>; 2], half: (f64, f64)| {
                half.0 * dot(axes[0], *axis).abs() + half.1 * dot(axes[1], *axis).abs()
            };
            let apart = (dx * axis.x + dy * axis.y).abs();
            apart < span(&mine, self.half) + span(&theirs, other.half)
        })
    }
}

fn dot(a: Coord<f64>, b: Coord<f64>) -> f64 {
    a.x * b.x + a.y * b.y
}

#[cfg(test)]
mod tests {
    use super::*;

    fn patch(x: f64, y: f64, turn: f64) -> Patch {
        Patch::new(Coord { x, y }, (10.0, 2.0), turn)
    }

    #[test]
    fn turned_oblongs_overlap_only_where_they_share_paper() {
        assert!(patch(0.0, 0.0, 0.0).overlaps(&patch(9.0, 1.0, 0.0)));
        assert!(!patch(0.0, 0.0, 0.0).overlaps(&patch(10.5, 0.0, 0.0)));
        assert!(patch(0.0, 0.0, 0.0).overlaps(&patch(0.0, 0.0, 90.0)));
        // Upright boxes about these two would overlap; the turned oblongs don't.
        assert!(!patch(0.0, 0.0, 45.0).overlaps(&patch(3.0, -3.0, 45.0)));
        assert!(patch(0.0, 0.0, 45.0).overlaps(&patch(3.0, 3.0, 45.0)));
    }
}
