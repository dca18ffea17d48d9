//! The parts of lines that lie inside a shape.

use std::mem;

use geo::{Coord, LineString, MultiPolygon};

use crate::plan::{fall_line::SegmentIndex, inside::Inside};

/// Edges of shapes are sought in segments of this size, m.
const POCKET: f64 = 16.0;

/// The parts of `lines` inside `shape`, in order; a closed line that is cut is joined where it began.
pub(crate) fn clipped(lines: &[LineString<f64>], shape: &MultiPolygon<f64>) -> Vec<LineString<f64>> {
    let rings: Vec<LineString<f64>> = shape
        .iter()
        .flat_map(|polygon| std::iter::once(polygon.exterior()).chain(polygon.interiors()).cloned())
        .collect();
    let edges = SegmentIndex::of(&rings, POCKET);
    let shape = Inside::of(shape);
    lines.iter().flat_map(|line| parts(line, &edges, |place| shape.holds(place))).collect()
}

fn parts(
    line: &LineString<f64>,
    edges: &SegmentIndex<'_>,
    inside: impl Fn(Coord<f64>) -> bool,
) -> Vec<LineString<f64>> {
    let mut parts: Vec<Vec<Coord<f64>>> = Vec::new();
    let mut part: Vec<Coord<f64>> = Vec::new();
    // Nothing is known before the first corner and after each cut: the middle of the next piece tells.
    let mut within = None;
    for piece in line.lines() {
        let way = piece.delta();
        let mut from = 0.0;
        let cuts = edges.all(piece.start, piece.end).into_iter().map(|share| (share, true));
        for (share, cut) in cuts.chain([(1.0, false)]) {
            if share > from {
                let middle = piece.start + way * ((from + share) / 2.0);
                if *within.get_or_insert_with(|| inside(middle)) {
                    if part.is_empty() {
                        part.push(piece.start + way * from);
                    }
                    part.push(piece.start + way * share);
                } else if !part.is_empty() {
                    parts.push(mem::take(&mut part));
                }
            }
            if cut {
                within = None;
            }
            from = share;
        }
    }
    if part.len() > 1 {
        parts.push(part);
    }
    join_ring(line, &mut parts);
    parts.into_iter().map(LineString).collect()
}

/// Joins the last part to the first where a closed line was cut elsewhere than where it began.
fn join_ring(line: &LineString<f64>, parts: &mut Vec<Vec<Coord<f64>>>) {
    let begins = |part: &Vec<Coord<f64>>| part.first() == line.0.first();
    let ends = |part: &Vec<Coord<f64>>| part.last() == line.0.last();
    if line.is_closed()
        && parts.len() > 1
        && parts.first().is_some_and(begins)
        && parts.last().is_some_and(ends)
    {
        let first = parts.remove(0);
        if let Some(last) = parts.last_mut() {
            last.extend(first.into_iter().skip(1));
        }
    }
}

#[cfg(test)]
mod tests {
    use geo::{
        Polygon,
        algorithm::line_measures::{Euclidean, Length},
    };

    use super::*;

    fn square(at: f64, size: f64) -> LineString<f64> {
        let (low, high) = (at, at + size);
        LineString::from(vec![(low, low), (high, low), (high, high), (low, high), (low, low)])
    }

    #[test]
    fn a_line_is_cut_at_the_edge_and_at_a_hole() {
        let shape = MultiPolygon(vec![Polygon::new(square(0.0, 10.0), vec![square(4.0, 2.0)])]);
        let line = LineString::from(vec![(-5.0, 5.0), (-1.0, 5.0), (20.0, 5.0)]);
        let parts = clipped(&[line], &shape);
        let expected = [vec![(0.0, 5.0), (4.0, 5.0)], vec![(6.0, 5.0), (10.0, 5.0)]];
        assert_eq!(parts, expected.map(LineString::from));
    }

    #[test]
    fn a_ring_is_one_line_where_it_was_cut_once() {
        let shape = MultiPolygon(vec![Polygon::new(square(0.0, 10.0), vec![])]);
        let whole = clipped(&[square(2.0, 3.0)], &shape);
        assert_eq!(whole, [square(2.0, 3.0)]);
        let cut = clipped(&[square(5.0, 8.0)], &shape);
        assert_eq!(cut, [LineString::from(vec![(5.0, 10.0), (5.0, 5.0), (10.0, 5.0)])]);
    }

    proptest::proptest! {
        /// What is cut off and what is kept make the whole.
        #[test]
        fn inside_and_outside_make_the_whole(
            corners in proptest::collection::vec((-3.0f64..13.0, -3.0f64..13.0), 2..20),
        ) {
            let inside = MultiPolygon(vec![Polygon::new(square(0.0, 10.0), vec![square(3.1, 4.2)])]);
            let outside = MultiPolygon(vec![
                Polygon::new(square(-5.0, 20.0), vec![square(0.0, 10.0)]),
                Polygon::new(square(3.1, 4.2), vec![]),
            ]);
            let line = LineString::from(corners);
            let length = |lines: &[LineString<f64>]| lines.iter().map(|line| Euclidean.length(line)).sum::<f64>();
            let line = [line];
            let parts = length(&clipped(&line, &inside)) + length(&clipped(&line, &outside));
            proptest::prop_assert!((parts - length(&line)).abs() < 1e-9);
        }
    }
}
