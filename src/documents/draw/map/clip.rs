//! Cutting lines and rings at a rectangle.

use geo::{Coord, LineString, MultiPolygon, Polygon, Rect};

/// The parts of `line` inside `frame`.
///
/// # Reference
/// Liang and Barsky (1984), *A new concept and method for line clipping*, ACM Trans. Graphics 3:1-22.
#[must_use]
pub(super) fn line(line: &LineString<f64>, frame: Rect<f64>) -> Vec<LineString<f64>> {
    let mut parts: Vec<Vec<Coord<f64>>> = Vec::new();
    for leg in line.lines() {
        let Some((from, to)) = leg_inside(leg.start, leg.end, frame) else { continue };
        match parts.last_mut() {
            Some(part) if part.last() == Some(&from) => part.push(to),
            _ => parts.push(vec![from, to]),
        }
    }
    parts.into_iter().map(LineString).collect()
}

fn leg_inside(from: Coord<f64>, to: Coord<f64>, frame: Rect<f64>) -> Option<(Coord<f64>, Coord<f64>)> {
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
    let sides = [
        (-dx, from.x - frame.min().x),
        (dx, frame.max().x - from.x),
        (-dy, from.y - frame.min().y),
        (dy, frame.max().y - from.y),
    ];
    for (outward, room) in sides {
        if outward == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if outward < 0.0 {
            enters = enters.max(room / outward);
        } else {
            leaves = leaves.min(room / outward);
        }
    }
    let at = |part: f64| match part {
        0.0 => from,
        1.0 => to,
        part => Coord { x: from.x + part * dx, y: from.y + part * dy },
    };
    (enters <= leaves).then(|| (at(enters), at(leaves)))
}

/// `shape` cut at `frame`, each ring by itself: right for filling by the even-odd rule, with edges along the frame where a
/// ring leaves it.
///
/// # Reference
/// Sutherland and Hodgman (1974), *Reentrant polygon clipping*, Comm. ACM 17:32-42.
#[must_use]
pub(super) fn polygons(shape: &MultiPolygon<f64>, frame: Rect<f64>) -> MultiPolygon<f64> {
    let cut = |polygon: &Polygon<f64>| {
        let outer = ring(polygon.exterior(), frame)?;
        let holes = polygon.interiors().iter().filter_map(|hole| ring(hole, frame)).collect();
        Some(Polygon::new(outer, holes))
    };
    MultiPolygon(shape.iter().filter_map(cut).collect())
}

fn ring(ring: &LineString<f64>, frame: Rect<f64>) -> Option<LineString<f64>> {
    let (low, high) = (frame.min(), frame.max());
    let mut corners: Vec<Coord<f64>> = ring.0.split_last().map(|(_, rest)| rest.to_vec()).unwrap_or_default();
    corners = cut_at(&corners, |place| place.x - low.x);
    corners = cut_at(&corners, |place| high.x - place.x);
    corners = cut_at(&corners, |place| place.y - low.y);
    corners = cut_at(&corners, |place| high.y - place.y);
    if corners.len() < 3 {
        return None;
    }
    let mut ring = LineString(corners);
    ring.close();
    Some(ring)
}

/// The part of a ring where `inside` is not negative; `inside` is a distance from a straight edge.
fn cut_at(corners: &[Coord<f64>], inside: impl Fn(Coord<f64>) -> f64) -> Vec<Coord<f64>> {
    let mut kept = Vec::with_capacity(corners.len() + 4);
    for (at, &to) in corners.iter().enumerate() {
        let from = corners[(at + corners.len() - 1) % corners.len()];
        let (before, here) = (inside(from), inside(to));
        if (before < 0.0) != (here < 0.0) {
            let part = before / (before - here);
            kept.push(Coord { x: from.x + part * (to.x - from.x), y: from.y + part * (to.y - from.y) });
        }
        if here >= 0.0 {
            kept.push(to);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use geo::Area;

    use super::*;

    fn frame() -> Rect<f64> {
        Rect::new(Coord { x: 0.0, y: 0.0 }, Coord { x: 10.0, y: 10.0 })
    }

    #[test]
    fn a_line_that_leaves_and_comes_back_gives_two_parts() {
        let zigzag = LineString::from(vec![(-5.0, 5.0), (5.0, 5.0), (5.0, 20.0), (8.0, 20.0), (8.0, 5.0)]);
        let parts = line(&zigzag, frame());
        assert_eq!(parts.len(), 2);
        assert_eq!(parts[0], LineString::from(vec![(0.0, 5.0), (5.0, 5.0), (5.0, 10.0)]));
        assert_eq!(parts[1], LineString::from(vec![(8.0, 10.0), (8.0, 5.0)]));
        assert!(line(&LineString::from(vec![(-5.0, -5.0), (20.0, -1.0)]), frame()).is_empty());
    }

    #[test]
    fn a_polygon_round_the_frame_becomes_the_frame_and_its_hole_stays() {
        let outer =
            LineString::from(vec![(-5.0, -5.0), (15.0, -5.0), (15.0, 15.0), (-5.0, 15.0), (-5.0, -5.0)]);
        let hole = LineString::from(vec![(2.0, 2.0), (4.0, 2.0), (4.0, 4.0), (2.0, 4.0), (2.0, 2.0)]);
        let cut = polygons(&MultiPolygon(vec![Polygon::new(outer, vec![hole])]), frame());
        assert!((cut.unsigned_area() - 96.0).abs() < 1e-12);
        let away = LineString::from(vec![(20.0, 20.0), (30.0, 20.0), (30.0, 30.0), (20.0, 20.0)]);
        assert!(polygons(&MultiPolygon(vec![Polygon::new(away, vec![])]), frame()).0.is_empty());
    }
}
