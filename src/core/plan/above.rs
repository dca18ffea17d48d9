//! The stems of the rows above, which those of a row stand across from.

use std::{collections::BTreeMap, f64::consts::TAU};

use geo::Coord;

use crate::{plan::stems::Course, units::Metres};

/// Stems nearer than this many spacings stand in a row that lies next to one's own.
const NEXT_ROW: f64 = 1.4;

/// Stems by the square pocket of ground that they stand in.
pub(crate) struct Above {
    reach: f64,
    held: BTreeMap<(i64, i64), Vec<Coord<f64>>>,
}

impl Above {
    pub(crate) fn within(spacing: Metres) -> Above {
        Above { reach: NEXT_ROW * spacing.0, held: BTreeMap::new() }
    }

    fn pocket(&self, place: Coord<f64>) -> (i64, i64) {
        ((place.x / self.reach).floor() as i64, (place.y / self.reach).floor() as i64)
    }

    pub(crate) fn put(&mut self, place: Coord<f64>) {
        self.held.entry(self.pocket(place)).or_default().push(place);
    }

    /// How far from the beginning of `row` its first stem stands so that its stems are across from the gaps of the rows next to it;
    /// `None` where no row lies there.
    ///
    /// # Method
    /// Each stem beside the row has a place across on it; as parts of the step between stems these places are angles, and the stems
    /// of the row take the angle opposite to their mean. In a bend steps shorten or lengthen from row to row, so that no row is
    /// across from gaps all along; on straight slopes it is.
    ///
    /// # Reference
    /// Mardia and Jupp (2000), *Directional Statistics*, section 2.2, for the mean of angles (from memory).
    pub(crate) fn across(&self, row: &Course, spacing: Metres) -> Option<f64> {
        let apart = row.apart(spacing);
        let (mut cos, mut sin) = (0.0, 0.0);
        for along in self.beside(row) {
            let angle = TAU * along / apart;
            (cos, sin) = (cos + libm::cos(angle), sin + libm::sin(angle));
        }
        if libm::hypot(cos, sin) <= 0.0 {
            return None;
        }
        let mean = libm::atan2(sin, cos) / TAU;
        let opposite = (mean + 0.5).rem_euclid(1.0) * apart;
        // A row too short for that keeps its one stem.
        (opposite <= row.length.0).then_some(opposite)
    }

    /// Places along `row` that a stem beside it is straight across from, as ground lengths from its beginning.
    fn beside(&self, row: &Course) -> Vec<f64> {
        let mut nearest: BTreeMap<(i64, i64, usize), (f64, f64)> = BTreeMap::new();
        for (at, pair) in row.places.windows(2).enumerate() {
            let (x, y) = self.pocket(pair[0]);
            for pocket in (x - 1..=x + 1).flat_map(|x| (y - 1..=y + 1).map(move |y| (x, y))) {
                for (which, stem) in self.held.get(&pocket).into_iter().flatten().enumerate() {
                    let (way, off) = (pair[1] - pair[0], *stem - pair[0]);
                    let length = way.x * way.x + way.y * way.y;
                    let share = (off.x * way.x + off.y * way.y) / length;
                    // Straight across from no place of this piece: beyond an end of the row, or another piece's.
                    if !(-0.5..=1.5).contains(&share) {
                        continue;
                    }
                    let apart = off - way * share.clamp(0.0, 1.0);
                    let distance = libm::hypot(apart.x, apart.y);
                    let along =
                        row.walked[at] + share.clamp(0.0, 1.0) * (row.walked[at + 1] - row.walked[at]);
                    let best = nearest.entry((pocket.0, pocket.1, which)).or_insert((f64::INFINITY, 0.0));
                    if distance < self.reach && distance < best.0 {
                        *best = (distance, along);
                    }
                }
            }
        }
        let ends = |along: f64| along > 0.0 && along < row.length.0;
        nearest
            .into_values()
            .filter(|(distance, along)| distance.is_finite() && ends(*along))
            .map(|(_, along)| along)
            .collect()
    }
}
