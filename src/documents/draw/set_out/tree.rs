//! A young tree on a drawing.

use geo::{Coord, LineString};

use crate::draw::{
    map::sign::{LEAF, PALE_LEAF},
    svg::{Stroke, Svg, line_data},
};

/// Draws a tree that stands upright on `foot`, `height` mm high.
pub(super) fn tree(svg: &mut Svg, foot: Coord<f64>, height: f64) {
    let radius = height * 0.27;
    let top = Coord { x: foot.x, y: foot.y - height + 2.0 * radius };
    svg.path(&line_data(&LineString(vec![foot, top])), "none", Some(&Stroke::solid(LEAF, 0.7)));
    let crown = Coord { x: foot.x, y: foot.y - height + radius };
    svg.circle(crown, radius, PALE_LEAF, Some(&Stroke::solid(LEAF, 0.45)));
}
