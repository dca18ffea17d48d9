//! From a place down the fall line to the next row.

use std::collections::BTreeMap;

use geo::{Coord, LineString};

use crate::plan::surface::Surface;

/// A piece of a row: which row, and which of its pieces.
pub(crate) type Piece = (usize, usize);

/// The pieces of rows by the square pocket of ground that they lie in.
pub(crate) struct SegmentIndex<'a> {
    rows: &'a [LineString<f64>],
    size: f64,
    held: BTreeMap<(i64, i64), Vec<Piece>>,
}

impl<'a> SegmentIndex<'a> {
    pub(crate) fn of(rows: &'a [LineString<f64>], size: f64) -> SegmentIndex<'a> {
        let mut segments = SegmentIndex { rows, size, held: BTreeMap::new() };
        for (row, line) in rows.iter().enumerate() {
            for (at, edge) in line.lines().enumerate() {
                for pocket in segments.about(edge.start, edge.end) {
                    segments.held.entry(pocket).or_default().push((row, at));
                }
            }
        }
        segments
    }

    /// The segments that a straight way from one place to another may touch.
    fn about(&self, from: Coord<f64>, to: Coord<f64>) -> impl Iterator<Item = (i64, i64)> + use<> {
        let pocket = |at: f64| (at / self.size).floor() as i64;
        let (west, east) = (pocket(from.x.min(to.x)), pocket(from.x.max(to.x)));
        let (south, north) = (pocket(from.y.min(to.y)), pocket(from.y.max(to.y)));
        (west..=east).flat_map(move |x| (south..=north).map(move |y| (x, y)))
    }

    /// The first piece on the straight way from one place to another, and the share of the way to it.
    pub(crate) fn first(
        &self,
        from: Coord<f64>,
        to: Coord<f64>,
        but: impl Fn(Piece) -> bool,
    ) -> Option<(f64, Piece)> {
        let pieces = self.about(from, to).flat_map(|pocket| self.held.get(&pocket).into_iter().flatten());
        let met = pieces.filter(|piece| !but(**piece)).filter_map(|&(row, at)| {
            let line = &self.rows[row].0;
            Some((share_to(from, to, line[at], line[at + 1])?, (row, at)))
        });
        met.min_by(|one, other| one.0.total_cmp(&other.0))
    }

    /// Whether a piece comes nearer to `place` than `reach`.
    pub(crate) fn near(&self, place: Coord<f64>, reach: f64, but: impl Fn(Piece) -> bool) -> bool {
        let corner = Coord { x: reach, y: reach };
        let mut segments = self.about(place - corner, place + corner);
        segments.any(|pocket| {
            let mut pieces = self.held.get(&pocket).into_iter().flatten();
            pieces.any(|&(row, at)| {
                let line = &self.rows[row].0;
                !but((row, at)) && from_piece(place, line[at], line[at + 1]) < reach
            })
        })
    }

    /// The shares of the straight way from one place to another at which it meets a piece, smallest first, each once.
    pub(crate) fn all(&self, from: Coord<f64>, to: Coord<f64>) -> Vec<f64> {
        let pieces = self.about(from, to).flat_map(|pocket| self.held.get(&pocket).into_iter().flatten());
        let met = pieces.filter_map(|&(row, at)| {
            let line = &self.rows[row].0;
            share_to(from, to, line[at], line[at + 1])
        });
        let mut shares: Vec<f64> = met.collect();
        shares.sort_by(f64::total_cmp);
        shares.dedup();
        shares
    }
}

impl SegmentIndex<'_> {
    /// The rows that the straight way from one place to another meets, with the share of the way to each, nearest first; a row that
    /// is met twice stands twice.
    pub(crate) fn met(&self, from: Coord<f64>, to: Coord<f64>) -> Vec<(f64, usize)> {
        let pieces = self.about(from, to).flat_map(|pocket| self.held.get(&pocket).into_iter().flatten());
        let met = pieces.filter_map(|&(row, at)| {
            let line = &self.rows[row].0;
            Some((share_to(from, to, line[at], line[at + 1])?, row))
        });
        let mut met: Vec<(f64, usize)> = met.collect();
        met.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
        met.dedup();
        met
    }
}

/// Share of the way `from`–`to` at which it meets `a`–`b`.
fn share_to(from: Coord<f64>, to: Coord<f64>, a: Coord<f64>, b: Coord<f64>) -> Option<f64> {
    let (way, piece, apart) = (to - from, b - a, a - from);
    let cross = |p: Coord<f64>, q: Coord<f64>| p.x * q.y - p.y * q.x;
    let turn = cross(way, piece);
    let (share, along) = (cross(apart, piece) / turn, cross(apart, way) / turn);
    (turn != 0.0 && (0.0..=1.0).contains(&share) && (0.0..=1.0).contains(&along)).then_some(share)
}

/// Distance of `place` from the piece `a`–`b`.
fn from_piece(place: Coord<f64>, a: Coord<f64>, b: Coord<f64>) -> f64 {
    let (piece, apart) = (b - a, place - a);
    let length = piece.x * piece.x + piece.y * piece.y;
    let share = if length > 0.0 { (apart.x * piece.x + apart.y * piece.y) / length } else { 0.0 };
    let way = apart - piece * share.clamp(0.0, 1.0);
    libm::hypot(way.x, way.y)
}

/// Metres along the ground from `from`, on the piece `own`, down the fall line to the next row; `None` where none is met within
/// `reach` metres, where the way leaves what is `inside`, and where the ground has no way down.
pub(crate) fn to_next_row(
    ground: &Surface,
    segments: &SegmentIndex<'_>,
    (from, own): (Coord<f64>, Piece),
    (step, reach): (f64, f64),
    inside: impl Fn(Coord<f64>) -> bool,
) -> Option<f64> {
    let (mut at, mut walked) = (from, 0.0);
    let mut lie = ground.at(at)?;
    while walked < reach {
        let halfway = at + lie.down()? * (step / 2.0);
        let next = at + ground.at(halfway)?.down()? * step;
        let there = ground.at(next)?;
        let length = libm::hypot(step, there.height - lie.height);
        // The first step leaves the piece that it stands on, and may brush those that join it.
        let leaving = walked <= 0.0;
        let own_piece = |piece: Piece| leaving && piece.0 == own.0 && piece.1.abs_diff(own.1) <= 1;
        if let Some((share, _)) = segments.first(at, next, own_piece) {
            return Some(walked + share * length);
        }
        if !inside(next) {
            return None;
        }
        (at, lie, walked) = (next, there, walked + length);
    }
    None
}
