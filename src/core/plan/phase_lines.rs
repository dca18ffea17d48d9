//! Phase contours (marching squares): lines along which a phase is a whole number of turns.

use std::{
    collections::{BTreeMap, BTreeSet},
    f64::consts::TAU,
};

use geo::{Coord, LineString};

use crate::plan::net::Net;

/// Where a line crosses an edge of the net: the edge's first knot, whether it goes up, and which turn of that knot's phase.
type Crossing = (usize, bool, i64);

/// A phase at the knots of a net, in radians.
pub(crate) trait PhaseField {
    /// The net.
    fn net(&self) -> &Net;

    /// Phase at a knot, −π to π.
    fn angle(&self, knot: usize) -> f64;

    /// Phase gained from one knot to its neighbour; `None` where it is not known at both.
    fn gain(&self, from: usize, to: usize) -> Option<f64>;
}

/// A crossing and its place.
type End = (Crossing, Coord<f64>);

/// Gains round a cell that add up to less than this are rounding; otherwise they are a whole turn.
const ROUNDING: f64 = 1.0;

/// Every such line, in the order of where it begins. It ends at the edge of what is known and where a turn more begins beside it.
pub(crate) fn lines(phase: &impl PhaseField) -> Vec<LineString<f64>> {
    let mut joints: BTreeMap<Crossing, (Coord<f64>, Vec<Crossing>)> = BTreeMap::new();
    for row in 0..phase.net().rows.saturating_sub(1) {
        for column in 0..phase.net().columns.saturating_sub(1) {
            for (one, other) in pieces(phase, row * phase.net().columns + column) {
                joints.entry(one.0).or_insert((one.1, Vec::new())).1.push(other.0);
                joints.entry(other.0).or_insert((other.1, Vec::new())).1.push(one.0);
            }
        }
    }
    let ends = joints.iter().filter(|(_, (_, next))| next.len() == 1).map(|(crossing, _)| *crossing);
    let (mut done, mut found) = (BTreeSet::new(), Vec::new());
    for start in ends.chain(joints.keys().copied()) {
        if !done.contains(&start) {
            let line = followed(&joints, start, &mut done);
            found.extend((line.len() > 1).then_some(LineString(line)));
        }
    }
    found
}

fn followed(
    joints: &BTreeMap<Crossing, (Coord<f64>, Vec<Crossing>)>,
    start: Crossing,
    done: &mut BTreeSet<Crossing>,
) -> Vec<Coord<f64>> {
    let (mut line, mut at) = (Vec::new(), Some(start));
    let mut last = &[][..];
    while let Some((place, next)) = at.and_then(|at| joints.get(&at)) {
        done.extend(at);
        line.push(*place);
        last = next;
        at = next.iter().find(|next| !done.contains(next)).copied();
    }
    if line.len() > 2 && last.contains(&start) {
        line.push(line[0]);
    }
    line
}

/// The pieces of lines in the cell whose south-western knot is given.
fn pieces(phase: &impl PhaseField, south_west: usize) -> Vec<(End, End)> {
    let columns = phase.net().columns;
    let (south_east, north_west, north_east) =
        (south_west + 1, south_west + columns, south_west + columns + 1);
    let sides = [
        phase.gain(south_west, south_east),
        phase.gain(south_east, north_east),
        phase.gain(north_west, north_east),
        phase.gain(south_west, north_west),
    ];
    let [Some(south), Some(east), Some(north), Some(west)] = sides else { return Vec::new() };
    if (south + east - north - west).abs() > ROUNDING {
        // A row ends in this cell.
        return Vec::new();
    }
    let here = phase.angle(south_west);
    let (at_east, at_north) = (here + south, here + west);
    let across = at_east + east;
    let edges = [
        (south_west, south_east, here, at_east, false),
        (south_east, north_east, at_east, across, true),
        (north_west, north_east, at_north, across, false),
        (south_west, north_west, here, at_north, true),
    ];
    let corners = [here, at_east, across, at_north];
    let low = corners.iter().copied().fold(f64::INFINITY, f64::min);
    let high = corners.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let mut pieces = Vec::new();
    for turn in (low / TAU).ceil() as i64..=(high / TAU).floor() as i64 {
        let level = turn as f64 * TAU;
        let crossed = edges.iter().filter(|(.., from, to, _)| (*from < level) != (*to < level));
        let ends: Vec<End> = crossed
            .map(|&(one, other, from, to, up)| {
                let (a, b) = (phase.net().place(one), phase.net().place(other));
                // The same crossing seen from the cell beyond has the same number: turns are counted from the knot's own phase.
                let own = turn - ((from - phase.angle(one)) / TAU).round() as i64;
                ((one, up, own), a + (b - a) * ((level - from) / (to - from)))
            })
            .collect();
        match ends[..] {
            [one, other] => pieces.push((one, other)),
            [south, east, north, west] => {
                let middle = corners.iter().sum::<f64>() / 4.0;
                let (one, other) = if (middle < level) == (here < level) {
                    ((south, east), (north, west))
                } else {
                    ((west, south), (east, north))
                };
                pieces.extend([one, other]);
            }
            _ => {}
        }
    }
    pieces
}
