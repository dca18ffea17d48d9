//! Oblong pieces of paper, turned or not, and whether two of them overlap.

use geo::{Coord, Rect};

/// An oblong about a centre, turned clockwise on paper (y runs down).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Patch {
    /// Its centre, mm.
    pub centre: Coord<f64>,
    /// Half its width and half its height, mm.
    pub half: (f64, f64),
    /// The direction of its width, of length 1: a patch is held against many others.
    along: Coord<f64>,
}

impl Patch {
    /// An oblong of `width` × `height` about `centre`, turned by `turn` degrees.
    #[must_use]
    pub fn new(centre: Coord<f64>, (width, height): (f64, f64), turn: f64) -> Patch {
        let along = match turn {
            0.0 => Coord { x: 1.0, y: 0.0 },
            turn => Coord { x: libm::cos(turn.to_radians()), y: libm::sin(turn.to_radians()) },
        };
        Patch { centre, half: (width / 2.0, height / 2.0), along }
    }

    /// The piece of paper under a straight line of some width.
    #[must_use]
    pub fn along(from: Coord<f64>, to: Coord<f64>, width: f64) -> Patch {
        let (dx, dy) = (to.x - from.x, to.y - from.y);
        let centre = Coord { x: (from.x + to.x) / 2.0, y: (from.y + to.y) / 2.0 };
        let length = libm::hypot(dx, dy);
        let along =
            if length > 0.0 { Coord { x: dx / length, y: dy / length } } else { Coord { x: 1.0, y: 0.0 } };
        Patch { centre, half: (length / 2.0, width / 2.0), along }
    }

    /// The same with `margin` more on every side.
    #[must_use]
    pub fn grown(mut self, margin: f64) -> Patch {
        self.half = (self.half.0 + margin, self.half.1 + margin);
        self
    }

    /// Degrees by which it is turned, -180 to 180.
    #[must_use]
    pub fn turn(&self) -> f64 {
        libm::atan2(self.along.y, self.along.x).to_degrees()
    }

    /// The directions of its sides.
    #[must_use]
    pub fn axes(&self) -> [Coord<f64>; 2] {
        let Coord { x, y } = self.along;
        [self.along, Coord { x: -y, y: x }]
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
        let reach = |patch: &Patch| (patch.half.0 * patch.half.0 + patch.half.1 * patch.half.1).sqrt();
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
