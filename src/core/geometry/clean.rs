//! Boundaries as they are drawn on a phone, made into polygons that can be measured.

use std::{cmp::Ordering, collections::BTreeMap};

use geo::{
    Area as _, BoundingRect as _, Coord, LineString, MapCoords as _, MultiPolygon, Orient as _, Polygon,
    algorithm::repair_polygon::MakeValid as _, orient::Direction, unary_union,
};

use crate::{
    geometry::{
        area,
        simple::{crosses_more_than, is_simple},
    },
    units::{Hectares, SquareMetres},
};

/// Repair works in units of a millionth of a degree (0.11 m): the triangulation takes corners within 0.0001 of a unit for
/// one, which in degrees would be 11 m.
const UNITS_PER_DEGREE: f64 = 1e6;

/// Rounds of repair: a crossing point rounded to the nearest number can lie a hair beyond its edge and cross anew.
const ROUNDS: usize = 4;

/// Square metres of change that are nobody's hectares: a spike without width, a corner that touches an edge.
const NO_CHANGE: f64 = 0.01;

/// Crossings of a ring with itself beyond which it is not repaired: each becomes a corner of a triangulation, whose time they make. A phone
/// that lies still for five minutes makes some 15,000.
pub const CROSSINGS: usize = 20_000;

/// The part of the enclosed ground that a repair may change before it is a guess at what was meant (judgement).
const MUCH: f64 = 0.2;

/// Why a boundary can't be measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unclean {
    /// It encloses nothing.
    Empty,
    /// A ring crosses itself more than [`CROSSINGS`] times: its corners stand in no order.
    Scrambled,
}

/// A boundary that can be measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Cleaned {
    /// Valid, outer rings counter-clockwise, rings closed, no corner twice in a row.
    pub shape: MultiPolygon<f64>,
    /// Plan area that the repair of a crossing boundary changed; `None` where none crossed.
    pub repaired: Option<Hectares>,
    /// The hectares by the corners as they follow one another, and by the loops that they make, where the two are so unlike that what was
    /// meant can't be told.
    pub unclear: Option<[Hectares; 2]>,
}

/// `shape` with closed and oriented rings; where it crosses itself it is repaired by the even-odd rule, and where its parts
/// lie over one another they are joined.
///
/// # Errors
/// [`Unclean`] where nothing with an area is left, or a ring crosses itself too often to be repaired.
pub fn clean(shape: &MultiPolygon<f64>) -> Result<Cleaned, Unclean> {
    let tidy = MultiPolygon(shape.iter().filter_map(tidied).collect());
    if tidy.0.is_empty() {
        return Err(Unclean::Empty);
    }
    let oriented = tidy.orient(Direction::Default);
    if is_simple(&oriented) {
        let encloses = oriented.unsigned_area() > 0.0;
        let cleaned = Cleaned { shape: oriented, repaired: None, unclear: None };
        return if encloses { Ok(cleaned) } else { Err(Unclean::Empty) };
    }
    if tidy.iter().any(|polygon| crosses_more_than(CROSSINGS, polygon)) {
        return Err(Unclean::Scrambled);
    }
    let mut repaired = even_odd(&tidy).ok_or(Unclean::Empty)?;
    for _ in 1..ROUNDS {
        if is_simple(&repaired) {
            break;
        }
        repaired = even_odd(&repaired).ok_or(Unclean::Empty)?;
    }
    let (loops, walked) = (area(&repaired), drawn(&tidy));
    let changed = SquareMetres((loops.0 - walked.0).abs());
    let unclear = changed.0 > MUCH * loops.0.max(walked.0);
    Ok(Cleaned {
        shape: repaired,
        repaired: (changed.0 > NO_CHANGE).then(|| Hectares::from(changed)),
        unclear: unclear.then(|| [Hectares::from(walked), Hectares::from(loops)]),
    })
}

/// Each polygon made valid by itself by the even-odd rule, then those that lie over one another joined.
///
/// Corners that stood in `shape` are given back exactly as they were.
fn even_odd(shape: &MultiPolygon<f64>) -> Option<MultiPolygon<f64>> {
    let origin = shape.bounding_rect()?.center();
    let enlarged = |corner: Coord<f64>| (corner - origin) * UNITS_PER_DEGREE;
    let key = |corner: Coord<f64>| (corner.x.to_bits(), corner.y.to_bits());
    let rings =
        shape.iter().flat_map(|polygon| std::iter::once(polygon.exterior()).chain(polygon.interiors()));
    let as_drawn: BTreeMap<(u64, u64), Coord<f64>> =
        rings.flat_map(|ring| &ring.0).map(|corner| (key(enlarged(*corner)), *corner)).collect();

    let mut parts = MultiPolygon(vec![]);
    for polygon in shape {
        parts.0.extend(polygon.map_coords(enlarged).make_valid().ok()?);
    }
    parts = in_order(&parts);
    if !is_simple(&parts) {
        parts = unary_union(&parts);
    }
    let back = |corner: Coord<f64>| {
        as_drawn.get(&key(corner)).copied().unwrap_or(corner / UNITS_PER_DEGREE + origin)
    };
    let parts: Vec<Polygon<f64>> =
        parts.map_coords(back).iter().filter_map(tidied).filter(|part| part.unsigned_area() > 0.0).collect();
    (!parts.is_empty()).then(|| in_order(&MultiPolygon(parts).orient(Direction::Default)))
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

    /// A field sixty metres wide with an ear of 12 m² behind a crossing: no corner may be taken for its neighbour.
    #[test]
    fn a_small_boundary_keeps_its_small_corners() {
        let metres = [(0, 0), (60, 0), (60, 60), (34, 60), (30, 66), (34, 66), (30, 60), (0, 60)];
        let corners = metres.map(|(x, y)| (148.0 + f64::from(x) * 1e-5, -36.0 + f64::from(y) * 1e-5));
        let cleaned = clean(&shape(&[&corners])).unwrap();
        for (longitude, latitude) in corners {
            let kept = cleaned
                .shape
                .iter()
                .any(|part| part.exterior().0.contains(&Coord { x: longitude, y: latitude }));
            assert!(kept, "{longitude} {latitude} in {:?}", cleaned.shape);
        }
        // A degree is about 110.9 km northward and 90.2 km eastward there: 1e-5 by 1e-5 of it is 1.0003 m².
        let square_metres = area(&cleaned.shape).0;
        assert!((square_metres - 3_612.0 * 1.0003).abs() < 1.0, "{square_metres}");
        assert!(cleaned.repaired.is_some_and(|changed| (changed.0 - 0.000_6).abs() < 0.001));
    }

    #[test]
    fn holes_and_parts_are_kept_and_what_lies_over_another_is_joined() {
        let square = |at: f64, size: f64| {
            LineString::from(vec![
                (at, at),
                (at + size, at),
                (at + size, at + size),
                (at, at + size),
                (at, at),
            ])
        };
        let ring_of_land = Polygon::new(square(0.0, 0.01), vec![square(0.002, 0.006)]);
        let island = Polygon::new(square(0.004, 0.002), vec![]);
        let both = MultiPolygon(vec![ring_of_land.clone(), island]);
        let cleaned = clean(&both).unwrap();
        assert_eq!((cleaned.repaired, cleaned.shape.0.len()), (None, 2), "an island in a hole is no fault");

        let stray_hole = MultiPolygon(vec![Polygon::new(square(0.0, 0.01), vec![square(0.02, 0.001)])]);
        assert!(clean(&stray_hole).unwrap().repaired.is_some(), "a hole outside its polygon is one");

        let twice = MultiPolygon(vec![ring_of_land.clone(), Polygon::new(square(0.0, 0.01), vec![])]);
        let cleaned = clean(&twice).unwrap();
        assert_eq!(cleaned.shape.0.len(), 1);
        assert!((cleaned.shape.unsigned_area() - 1e-4).abs() < 1e-12, "counted once");
    }

    #[test]
    fn a_spike_without_width_is_cut_off_without_a_word() {
        let cleaned =
            clean(&shape(&[&[(0.0, 0.0), (0.01, 0.0), (0.02, 0.0), (0.01, 0.0), (0.01, 0.01)]])).unwrap();
        assert_eq!(cleaned.repaired, None);
        assert_eq!(cleaned.shape.0[0].exterior().0.len(), 4);
    }

    #[test]
    fn nothing_is_left_of_a_line() {
        assert_eq!(clean(&shape(&[&[(0.0, 0.0), (1.0, 1.0)]])), Err(Unclean::Empty));
        assert_eq!(clean(&MultiPolygon(vec![])), Err(Unclean::Empty));
    }

    proptest::proptest! {
        /// A star about its centre never crosses itself: its area is the shoelace's, and cleaning changes nothing.
        #[test]
        fn stars_keep_their_area(radii in proptest::collection::vec(0.2f64..1.0, 3..40)) {
            let step = std::f64::consts::TAU / radii.len() as f64;
            let corners: Vec<(f64, f64)> = radii.iter().enumerate()
                .map(|(at, radius)| (radius * libm::cos(step * at as f64), radius * libm::sin(step * at as f64))).collect();
            let shoelace: f64 = corners.iter().zip(corners.iter().cycle().skip(1))
                .map(|(a, b)| (a.0 * b.1 - b.0 * a.1) / 2.0).sum();
            let cleaned = clean(&shape(&[&corners])).unwrap();
            proptest::prop_assert_eq!(cleaned.repaired, None);
            proptest::prop_assert!((cleaned.shape.unsigned_area() - shoelace).abs() < 1e-9);
        }
    }
}
