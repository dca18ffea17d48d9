//! Rows along a drawn line, where there is no terrain model to lay them on the contour.

use std::f64::consts::TAU;

use geo::{Coord, Line, LineString, MultiPolygon, Simplify};

use crate::{
    plan::{
        clipped::clipped,
        net::Net,
        phase_lines::{PhaseField, lines},
        rows::{SHORTEST, STRAIGHT},
    },
    units::{Degrees, Metres},
};

/// Knots lie this share of a spacing apart.
const STEP: f64 = 0.25;

/// The line goes on straight beyond its ends this far, m: further than any area is wide.
const BEYOND: f64 = 100_000.0;

/// Rows over `planted` that run along `guide`, the first of them on it; `slope` is the ground's, across the rows.
///
/// # Method
/// Places equally far from the guide line, which goes on straight beyond its ends: rows are `spacing` × cos `slope` of plan
/// apart, so that they are `spacing` apart on the ground. Inside a bend tighter than a row's distance from it the row has a
/// corner.
///
/// # Assumption
/// The guide line is level and the slope is the same everywhere; rows far from it may leave the level.
#[must_use]
pub fn guided_rows(
    guide: &LineString<f64>,
    planted: &MultiPolygon<f64>,
    spacing: Metres,
    slope: Degrees,
) -> Vec<LineString<f64>> {
    let apart = spacing.0 * slope.cos();
    let Some(guide) = lengthened(guide) else { return Vec::new() };
    let net = Net::over(planted, apart * STEP);
    let distance = |knot: usize| aside(&guide, net.place(knot));
    let field = Field { distances: (0..net.knots()).map(distance).collect(), apart, net };
    let rows = clipped(&lines(&field), planted);
    let mut rows: Vec<(f64, LineString<f64>)> = rows
        .into_iter()
        .map(|line| line.simplify(STRAIGHT))
        .filter(|line| length(line) >= SHORTEST * spacing.0)
        .map(|line| (aside(&guide, line.0[line.0.len() / 2]), line))
        .collect();
    rows.sort_by(|one, other| one.0.total_cmp(&other.0));
    rows.into_iter().map(|(_, line)| line).collect()
}

/// Distances from a line as a phase, a turn for every row.
struct Field {
    net: Net,
    apart: f64,
    distances: Vec<f64>,
}

impl PhaseField for Field {
    fn net(&self) -> &Net {
        &self.net
    }

    fn angle(&self, knot: usize) -> f64 {
        let turns = self.distances[knot] / self.apart;
        TAU * (turns - turns.round())
    }

    fn gain(&self, from: usize, to: usize) -> Option<f64> {
        let gain = (self.distances[to] - self.distances[from]) / self.apart;
        // Distances change no faster than places do; where they jump, one side of the line meets the other.
        (gain.abs() < 0.5).then_some(TAU * gain)
    }
}

/// `guide` with both ends drawn out; `None` where it has no length.
fn lengthened(guide: &LineString<f64>) -> Option<LineString<f64>> {
    let mut corners = guide.0.clone();
    corners.dedup();
    let [first, second, ..] = corners[..] else { return None };
    let [.., before, last] = corners[..] else { return None };
    let on = |from: Coord<f64>, to: Coord<f64>| {
        let way = to - from;
        to + way / libm::hypot(way.x, way.y) * BEYOND
    };
    corners.insert(0, on(second, first));
    corners.push(on(before, last));
    Some(LineString(corners))
}

/// Distance of `place` from `line`, positive on its right.
fn aside(line: &LineString<f64>, place: Coord<f64>) -> f64 {
    let mut nearest = (f64::INFINITY, 0.0);
    for edge in line.lines() {
        let (way, apart) = (edge.delta(), place - edge.start);
        let length = libm::hypot(way.x, way.y);
        let right = (apart.x * way.y - apart.y * way.x) / length;
        let share = ((apart.x * way.x + apart.y * way.y) / (length * length)).clamp(0.0, 1.0);
        let off = apart - way * share;
        let distance = libm::hypot(off.x, off.y);
        // At a corner both edges are equally near: the one that the place lies further aside of tells the side.
        let nearer = distance < nearest.0 - 1e-9;
        if nearer || (distance < nearest.0 + 1e-9 && right.abs() > f64::abs(nearest.1)) {
            nearest = (distance, right);
        }
    }
    nearest.0.copysign(nearest.1)
}

fn length(line: &LineString<f64>) -> f64 {
    line.lines().map(|edge: Line<f64>| libm::hypot(edge.dx(), edge.dy())).sum()
}

#[cfg(test)]
mod tests {
    use geo::Rect;

    use super::*;

    fn field() -> MultiPolygon<f64> {
        MultiPolygon(vec![Rect::new((0.0, 0.0), (120.0, 80.0)).to_polygon()])
    }

    /// Hand-worked block (120 m along, 80 m of plan down, 20°, rows 3 m on the slope, no margins): 29 rows.
    #[test]
    fn a_straight_guide_gives_the_rows_of_the_worked_block() {
        let guide = LineString::from(vec![(20.0, 1e-9), (90.0, 1e-9)]);
        let rows = guided_rows(&guide, &field(), Metres(3.0), Degrees(20.0));
        assert_eq!(rows.len(), 29);
        let apart = 3.0 * libm::cos(20.0_f64.to_radians());
        let mut heights: Vec<f64> = rows.iter().map(|row| row.0[0].y).collect();
        heights.sort_by(f64::total_cmp);
        for (at, (row, height)) in rows.iter().zip(&heights).enumerate() {
            assert!((length(row) - 120.0).abs() < 1e-6);
            assert!((height - at as f64 * apart).abs() < 1e-6, "{height} of row {at}");
        }
    }

    #[test]
    fn rows_stay_as_far_from_a_bent_guide_as_they_began() {
        let guide = LineString::from(vec![(-10.0, 20.0), (50.0, 40.0), (130.0, 30.0)]);
        let rows = guided_rows(&guide, &field(), Metres(4.0), Degrees(0.0));
        let guide = lengthened(&guide).unwrap();
        for row in &rows {
            let own = aside(&guide, row.0[0]);
            assert!((own / 4.0 - (own / 4.0).round()).abs() < 0.02, "{own}");
            for corner in &row.0 {
                assert!((aside(&guide, *corner) - own).abs() < 0.35, "{own} {corner:?}");
            }
        }
        assert!(rows.len() >= 19, "{}", rows.len());
    }

    #[test]
    fn a_guide_without_length_guides_nothing() {
        let point = LineString::from(vec![(5.0, 5.0), (5.0, 5.0)]);
        assert!(guided_rows(&point, &field(), Metres(4.0), Degrees(0.0)).is_empty());
    }
}
