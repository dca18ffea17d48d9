//! Rings without order put together as polygons: which are boundaries, and which holes lie in which.

use geo::{Area as _, BoundingRect as _, Contains as _, LineString, MultiPolygon, Point, Polygon};

/// Polygons of `rings`, in the order of their outer rings.
///
/// # Method
/// In a shapefile outer rings run clockwise and holes the other way (ESRI 1998, *Shapefile Technical Description*, p. 8). A
/// hole goes to the smallest outer ring that holds it. Where no ring runs clockwise the writer had the rule the wrong way
/// round; a hole that no outer ring holds is an outer ring of its own.
pub(super) fn polygons(rings: Vec<LineString<f64>>) -> MultiPolygon<f64> {
    let is_clockwise = |ring: &Polygon<f64>| ring.signed_area() < 0.0;
    let rings: Vec<Polygon<f64>> = rings.into_iter().map(|ring| Polygon::new(ring, vec![])).collect();
    let clockwise = rings.iter().any(is_clockwise);
    let mut outers: Vec<(Polygon<f64>, f64)> = Vec::new();
    let mut holes: Vec<Polygon<f64>> = Vec::new();
    for ring in rings {
        match is_clockwise(&ring) == clockwise {
            true => outers.push((ring.clone(), ring.unsigned_area())),
            false => holes.push(ring),
        }
    }
    if !clockwise {
        // All one way round: the rings that lie in another are its holes.
        let (inner, outer) = outers.iter().cloned().partition(|(ring, area)| {
            outers.iter().any(|(other, whole)| whole > area && holds(other, ring.exterior()))
        });
        outers = outer;
        holes = Vec::<(Polygon<f64>, f64)>::into_iter(inner).map(|(ring, _)| ring).collect();
    }
    let mut found: Vec<Polygon<f64>> = outers.iter().map(|(ring, _)| ring.clone()).collect();
    for hole in holes {
        let around = outers.iter().enumerate().filter(|(_, (outer, _))| holds(outer, hole.exterior()));
        match around.min_by(|(_, (_, one)), (_, (_, other))| one.total_cmp(other)) {
            Some((at, _)) => found[at].interiors_push(hole.exterior().clone()),
            None => found.push(hole),
        }
    }
    MultiPolygon(found)
}

/// Whether the ring lies in `outer`; a ring may touch its outer ring in a corner.
fn holds(outer: &Polygon<f64>, ring: &LineString<f64>) -> bool {
    let (Some(frame), Some(within)) = (outer.bounding_rect(), ring.bounding_rect()) else { return false };
    let inside = |corner: geo::Coord<f64>| {
        (frame.min().x..=frame.max().x).contains(&corner.x)
            && (frame.min().y..=frame.max().y).contains(&corner.y)
    };
    inside(within.min())
        && inside(within.max())
        && ring.0.iter().any(|corner| outer.contains(&Point(*corner)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(at: f64, side: f64, clockwise: bool) -> LineString<f64> {
        let mut corners = vec![(at, at), (at, at + side), (at + side, at + side), (at + side, at), (at, at)];
        if !clockwise {
            corners.reverse();
        }
        corners.into()
    }

    fn shape(rings: Vec<LineString<f64>>) -> Vec<(f64, usize)> {
        polygons(rings).iter().map(|one| (one.unsigned_area(), one.interiors().len())).collect()
    }

    #[test]
    fn holes_go_where_they_lie_whatever_their_order() {
        let hole = square(1.0, 1.0, false);
        let island = square(1.25, 0.5, true);
        let found = shape(vec![hole.clone(), square(20.0, 2.0, true), square(0.0, 10.0, true), island]);
        assert_eq!(found, [(4.0, 0), (99.0, 1), (0.25, 0)]);
        assert_eq!(shape(vec![square(0.0, 10.0, true), square(30.0, 1.0, false)]), [(100.0, 0), (1.0, 0)]);
    }

    #[test]
    fn a_writer_that_had_the_rule_the_wrong_way_round_is_understood() {
        assert_eq!(shape(vec![square(0.0, 10.0, false), square(1.0, 1.0, false)]), [(99.0, 1)]);
        assert_eq!(shape(vec![]), []);
    }
}
