//! A distance on a drawing: a line with an arrowhead at either end, and words beside it.

use geo::{Coord, LineString};

use crate::draw::{
    svg::{Anchor, Stroke, Svg, line_data},
    text::{CAP_HEIGHT, Line, POINT_MM},
};

/// Length and half width of an arrowhead, mm.
const HEAD: (f64, f64) = (2.0, 0.7);

/// Paper between the line and the words, mm.
const GAP: f64 = 1.2;

/// Which side of a distance its words stand on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    /// Above it.
    Above,
    /// Below it.
    Below,
}

/// Draws the distance from one place to another, which lies to its right, with `lines` of words along it.
pub(super) fn dimension(
    svg: &mut Svg,
    (from, to): (Coord<f64>, Coord<f64>),
    stroke: Stroke,
    side: Side,
    lines: &[Line],
) {
    let way = to - from;
    let length = libm::hypot(way.x, way.y).max(1e-9);
    let (along, down) = (way / length, Coord { x: -way.y / length, y: way.x / length });
    let inset = along * (HEAD.0 * 0.8);
    svg.path(&line_data(&LineString(vec![from + inset, to - inset])), "none", Some(&stroke));
    for (tip, back) in [(from, along), (to, along * -1.0)] {
        let base = tip + back * HEAD.0;
        let ring = vec![tip, base + down * HEAD.1, base - down * HEAD.1];
        svg.path(&(line_data(&LineString(ring)) + "Z"), stroke.colour, None);
    }
    let middle = from + way / 2.0;
    let turn = libm::atan2(way.y, way.x).to_degrees();
    let heights: f64 = lines.iter().map(Line::height).sum();
    let mut base = match side {
        Side::Above => -GAP - heights,
        Side::Below => GAP - 0.4,
    };
    for line in lines {
        let cap = CAP_HEIGHT * line.points * POINT_MM;
        let baseline = base + (line.height() + cap) / 2.0;
        svg.words(middle + down * baseline, Anchor::Middle, turn, line, true);
        base += line.height();
    }
}
