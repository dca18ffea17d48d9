//! The position of rows on the slope: how many rows lie above each, where rows end and begin between others too.

use geo::{Coord, LineString};

use crate::{plan::across::Across, units::Metres};

/// A row is looked across from places so many spacings apart.
pub(crate) const STEP: f64 = 2.0;

/// The next row lies no farther than this many spacings down the slope.
const NEXT: f64 = 1.6;

/// Where a row lies on the slope.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Level {
    /// The patch of ground whose rows lie one below the other without a break.
    pub(crate) patch: usize,
    /// Its position in the patch, rising down the slope.
    pub(crate) level: i64,
}

/// Places along a row, the metres of plan that each stands for, and the way the row runs there.
pub(crate) fn looks(line: &LineString<f64>, step: f64) -> Vec<(Coord<f64>, f64, Coord<f64>)> {
    let length: f64 = line.lines().map(|edge| libm::hypot(edge.dx(), edge.dy())).sum();
    let pieces = (length / step).ceil().max(1.0);
    let own = length / pieces;
    let mut wanted = (0..pieces as u32).map(|piece| (f64::from(piece) + 0.5) * own).peekable();
    let (mut looks, mut walked) = (Vec::new(), 0.0);
    for edge in line.lines() {
        let length = libm::hypot(edge.dx(), edge.dy());
        while let Some(at) = wanted.next_if(|at| *at <= walked + length) {
            looks.push((edge.start + edge.delta() * ((at - walked) / length.max(1e-9)), own, edge.delta()));
        }
        walked += length;
    }
    looks
}

/// The level of each row of `lines`.
///
/// # Method
/// From places along each row straight down the slope to the next; the metres over which one row lies next below another are the
/// weight of their bond. Levels follow the heaviest bonds: a spanning tree of most weight, along which each bond is one level.
///
/// # Reference
/// Kruskal (1956), *On the shortest spanning subtree of a graph and the traveling salesman problem*, Proceedings of the American
/// Mathematical Society 7:48-50.
pub(crate) fn levels(lines: &[LineString<f64>], across: &Across<'_>, Metres(spacing): Metres) -> Vec<Level> {
    let mut bonds: std::collections::BTreeMap<(usize, usize), f64> = std::collections::BTreeMap::new();
    for (row, line) in lines.iter().enumerate() {
        for (place, length, along) in looks(line, STEP * spacing) {
            let met = across.met(place, across.down(place, along), NEXT * spacing);
            if let Some((below, _)) = met.into_iter().find(|(other, _)| *other != row) {
                *bonds.entry((row, below)).or_default() += length;
            }
        }
    }
    let mut bonds: Vec<((usize, usize), f64)> = bonds.into_iter().collect();
    bonds.sort_by(|one, other| other.1.total_cmp(&one.1).then(one.0.cmp(&other.0)));

    let mut levels: Vec<Level> = (0..lines.len()).map(|patch| Level { patch, level: 0 }).collect();
    let mut members: Vec<Vec<usize>> = (0..lines.len()).map(|row| vec![row]).collect();
    for ((above, below), _) in bonds {
        let (one, other) = (levels[above], levels[below]);
        if one.patch == other.patch {
            continue;
        }
        // The smaller patch takes the number of the larger.
        let shift = one.level + 1 - other.level;
        let (kept, joined, shift) = if members[one.patch].len() >= members[other.patch].len() {
            (one.patch, other.patch, shift)
        } else {
            (other.patch, one.patch, -shift)
        };
        let moved = std::mem::take(&mut members[joined]);
        for row in &moved {
            levels[*row] = Level { patch: kept, level: levels[*row].level + shift };
        }
        members[kept].extend(moved);
    }
    levels
}
