//! Boundaries as they are drawn on a phone, made into polygons that can be measured.

use std::cmp::Ordering;

use geo::{
    Area as _, BooleanOps as _, LineString, MultiPolygon, Orient as _, Polygon, Validation as _,
    algorithm::repair_polygon::MakeValid as _, orient::Direction,
};

use crate::{
    geometry::area,
    units::{Hectares, SquareMetres},
};

/// A boundary that can be measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Cleaned {
    /// Valid, outer rings counter-clockwise, rings closed, no corner twice in a row.
    pub shape: MultiPolygon<f64>,
    /// Plan area that the repair of a crossing boundary changed; `None` where none crossed.
    pub repaired: Option<Hectares>,
}

/// `shape` with closed and oriented rings; where it crosses itself it is repaired by the even-odd rule. `None` where nothing
/// with an area is left.
#[must_use]
pub fn clean(shape: &MultiPolygon<f64>) -> Option<Cleaned> {
    let tidy = MultiPolygon(shape.iter().filter_map(tidied).collect());
    if tidy.0.is_empty() {
        return None;
    }
    let oriented = tidy.orient(Direction::Default);
    if oriented.is_valid() {
        return Some(Cleaned { shape: oriented, repaired: None });
    }
    let repaired = in_order(&even_odd(&tidy)?.orient(Direction::Default));
    let changed = (area(&repaired).0 - drawn(&tidy).0).abs();
    Some(Cleaned { shape: repaired, repaired: Some(Hectares::from(SquareMetres(changed))) })
}

/// The even-odd rule over all rings: each polygon made valid by itself, then those that overlap taken together.
fn even_odd(shape: &MultiPolygon<f64>) -> Option<MultiPolygon<f64>> {
    let mut whole = MultiPolygon(vec![]);
    for polygon in shape {
        let valid = polygon.make_valid().ok()?;
        whole = if whole.0.is_empty() { valid } else { whole.union(&valid) };
    }
    let filled =
        MultiPolygon(whole.0.into_iter().filter(|polygon| polygon.unsigned_area() > 0.0).collect::<Vec<_>>());
    (!filled.0.is_empty()).then_some(filled)
}

/// The same shape with every ring begun at its westernmost corner and rings and parts sorted: the repair gives them in no
/// fixed order, and the same input must give the same bytes.
fn in_order(shape: &MultiPolygon<f64>) -> MultiPolygon<f64> {
    let before = |a: &LineString<f64>, b: &LineString<f64>| {
        let corners = |ring: &LineString<f64>| ring.0.iter().flat_map(|at| [at.x, at.y]).collect::<Vec<_>>();
        corners(a).partial_cmp(&corners(b)).unwrap_or(Ordering::Equal)
    };
    let mut parts: Vec<Polygon<f64>> = shape
        .iter()
        .map(|polygon| {
            let mut holes: Vec<LineString<f64>> = polygon.interiors().iter().map(begun).collect();
            holes.sort_by(before);
            Polygon::new(begun(polygon.exterior()), holes)
        })
        .collect();
    parts.sort_by(|a, b| before(a.exterior(), b.exterior()));
    MultiPolygon(parts)
}

/// A closed ring begun at its westernmost, then southernmost corner.
fn begun(ring: &LineString<f64>) -> LineString<f64> {
    let mut corners = ring.0.clone();
    corners.pop();
    let first = (0..corners.len()).min_by(|&a, &b| {
        (corners[a].x, corners[a].y).partial_cmp(&(corners[b].x, corners[b].y)).unwrap_or(Ordering::Equal)
    });
    corners.rotate_left(first.unwrap_or(0));
    corners.extend(corners.first().copied());
    LineString(corners)
}

/// The area that the boundary as drawn would be taken for by its outer rings and holes, crossings ignored.
fn drawn(shape: &MultiPolygon<f64>) -> SquareMetres {
    SquareMetres(shape.iter().map(|polygon| area(&MultiPolygon(vec![polygon.clone()])).0).sum())
}

fn tidied(polygon: &Polygon<f64>) -> Option<Polygon<f64>> {
    let outer = ring(polygon.exterior())?;
    Some(Polygon::new(outer, polygon.interiors().iter().filter_map(ring).collect()))
}

/// A ring closed, without corners that follow themselves; `None` with fewer than three corners.
fn ring(ring: &LineString<f64>) -> Option<LineString<f64>> {
    let mut corners = ring.0.clone();
    corners.dedup();
    if corners.first() == corners.last() {
        corners.pop();
    }
    let first = *corners.first()?;
    if corners.len() < 3 {
        return None;
    }
    corners.push(first);
    Some(LineString(corners))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shape(rings: &[&[(f64, f64)]]) -> MultiPolygon<f64> {
        let line = |ring: &&[(f64, f64)]| LineString::from(ring.to_vec());
        MultiPolygon(vec![Polygon::new(line(&rings[0]), rings[1..].iter().map(line).collect())])
    }

    #[test]
    fn a_clockwise_unclosed_ring_with_a_doubled_corner_is_made_right() {
        let cleaned =
            clean(&shape(&[&[(0.0, 0.0), (0.0, 0.01), (0.0, 0.01), (0.01, 0.01), (0.01, 0.0)]])).unwrap();
        assert_eq!(cleaned.repaired, None);
        assert_eq!(cleaned.shape.0[0].exterior().0.len(), 5);
        assert!(cleaned.shape.signed_area() > 0.0, "counter-clockwise");
    }

    #[test]
    fn both_halves_of_a_bow_tie_are_kept() {
        let tie = shape(&[&[(0.0, 0.0), (0.01, 0.01), (0.01, 0.0), (0.0, 0.01)]]);
        let cleaned = clean(&tie).unwrap();
        let half = area(&shape(&[&[(0.0, 0.0), (0.005, 0.005), (0.0, 0.01)]])).0;
        assert!((area(&cleaned.shape).0 - 2.0 * half).abs() < 1.0, "{:?}", cleaned.shape);
        assert!(cleaned.repaired.is_some_and(|changed| changed.0 > 1.0));
    }

    #[test]
    fn nothing_is_left_of_a_line() {
        assert_eq!(clean(&shape(&[&[(0.0, 0.0), (1.0, 1.0)]])), None);
        assert_eq!(clean(&MultiPolygon(vec![])), None);
    }

    proptest::proptest! {
        /// A star about its centre never crosses itself: its area is the shoelace's, and cleaning changes nothing.
        #[test]
        fn stars_keep_their_area(radii in proptest::collection::vec(0.2f64..1.0, 3..40)) {
            let step = std::f64::consts::TAU / radii.len() as f64;
            let corners: Vec<(f64, f64)> = radii.iter().enumerate()
                .map(|(at, radius)| (radius * (step * at as f64).cos(), radius * (step * at as f64).sin())).collect();
            let shoelace: f64 = corners.iter().zip(corners.iter().cycle().skip(1))
                .map(|(a, b)| (a.0 * b.1 - b.0 * a.1) / 2.0).sum();
            let cleaned = clean(&shape(&[&corners])).unwrap();
            proptest::prop_assert_eq!(cleaned.repaired, None);
            proptest::prop_assert!((cleaned.shape.unsigned_area() - shoelace).abs() < 1e-9);
        }

        /// Whatever is drawn, what comes out is valid, and cleaning it again changes nothing.
        #[test]
        fn scribbles_become_valid(corners in proptest::collection::vec((0.0f64..0.01, 0.0f64..0.01), 3..12)) {
            if let Some(once) = clean(&shape(&[&corners])) {
                proptest::prop_assert!(once.shape.is_valid());
                let twice = clean(&once.shape).unwrap();
                proptest::prop_assert_eq!(twice.repaired, None);
                proptest::prop_assert!((area(&twice.shape).0 - area(&once.shape).0).abs() < 1e-6);
            }
        }
    }
}
