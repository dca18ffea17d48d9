//! Whether rings cross: what has to be known of a boundary before its area means anything.

use geo::{
    BoundingRect as _, Contains as _, Coord, Line, MultiPolygon, Point, Polygon, Rect, Validation as _,
    line_intersection::{LineIntersection, line_intersection},
};

/// Corners up to which rings that touch are judged by `geo`, whose time grows with their square.
const JUDGED: usize = 2_000;

/// Whether no ring of `shape` crosses itself or another, each hole lies in its polygon and no polygon in another.
///
/// # Method
/// Edges are swept along the longer side of the shape, so that only those which overlap along it are compared: a boundary
/// of 50,000 corners takes milliseconds, where comparing each edge with each takes 20 s.
pub(super) fn is_simple(shape: &MultiPolygon<f64>) -> bool {
    match contact(&edges(shape)) {
        Contact::None => is_nested(shape),
        Contact::Touch => corners(shape) <= JUDGED && shape.is_valid(),
        Contact::Cross => false,
    }
}

/// Whether the rings of `polygon` cross, themselves or one another, more than `most` times.
pub(super) fn crosses_more_than(most: usize, polygon: &Polygon<f64>) -> bool {
    let edges = edges(&MultiPolygon(vec![polygon.clone()]));
    let mut crossings = 0;
    let mut open: Vec<&Edge> = Vec::new();
    for edge in &edges {
        open.retain(|earlier| end(&earlier.line) >= start(&edge.line));
        crossings += open.iter().filter(|earlier| meeting(earlier, edge) == Contact::Cross).count();
        if crossings > most {
            return true;
        }
        open.push(edge);
    }
    false
}

/// An edge with the number of its ring and its place along the ring.
struct Edge {
    line: Line<f64>,
    ring: usize,
    at: usize,
    last: usize,
}

/// How two edges meet; the worst is the greatest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Contact {
    /// Not at all, or as neighbours on a ring do.
    None,
    /// Edges of two rings in one point: right for a hole that touches its boundary, wrong for much else.
    Touch,
    /// Right for nothing.
    Cross,
}

fn corners(shape: &MultiPolygon<f64>) -> usize {
    rings(shape).map(|ring| ring.0.len()).sum()
}

fn rings(shape: &MultiPolygon<f64>) -> impl Iterator<Item = &geo::LineString<f64>> {
    shape.iter().flat_map(|polygon| std::iter::once(polygon.exterior()).chain(polygon.interiors()))
}

fn edges(shape: &MultiPolygon<f64>) -> Vec<Edge> {
    let upright = shape.bounding_rect().is_some_and(|rect| rect.height() > rect.width());
    let turn = |corner: Coord<f64>| if upright { Coord { x: corner.y, y: corner.x } } else { corner };
    let mut edges: Vec<Edge> = rings(shape)
        .enumerate()
        .flat_map(|(ring, line)| {
            let last = line.0.len().saturating_sub(2);
            line.lines().enumerate().map(move |(at, line)| Edge {
                line: Line::new(turn(line.start), turn(line.end)),
                ring,
                at,
                last,
            })
        })
        .collect();
    edges.sort_by(|a, b| start(&a.line).total_cmp(&start(&b.line)));
    edges
}

fn start(line: &Line<f64>) -> f64 {
    line.start.x.min(line.end.x)
}

fn end(line: &Line<f64>) -> f64 {
    line.start.x.max(line.end.x)
}

/// The worst contact among `edges`, which are sorted by where they start.
fn contact(edges: &[Edge]) -> Contact {
    let mut worst = Contact::None;
    let mut open: Vec<&Edge> = Vec::new();
    for edge in edges {
        open.retain(|earlier| end(&earlier.line) >= start(&edge.line));
        for earlier in &open {
            worst = worst.max(meeting(earlier, edge));
            if worst == Contact::Cross {
                return worst;
            }
        }
        open.push(edge);
    }
    worst
}

fn meeting(one: &Edge, other: &Edge) -> Contact {
    let reach = |line: &Line<f64>| (line.start.y.min(line.end.y), line.start.y.max(line.end.y));
    let ((low, high), (other_low, other_high)) = (reach(&one.line), reach(&other.line));
    if high < other_low || other_high < low {
        return Contact::None;
    }
    let in_one_point = match line_intersection(one.line, other.line) {
        None => return Contact::None,
        Some(LineIntersection::SinglePoint { is_proper, .. }) => !is_proper,
        Some(LineIntersection::Collinear { intersection }) => intersection.start == intersection.end,
    };
    match (in_one_point, one.ring == other.ring) {
        (true, true) if are_neighbours(one, other) => Contact::None,
        (true, false) => Contact::Touch,
        _ => Contact::Cross,
    }
}

fn are_neighbours(one: &Edge, other: &Edge) -> bool {
    let apart = one.at.abs_diff(other.at);
    one.ring == other.ring && (apart == 1 || apart == one.last)
}

/// Where no two rings meet, one corner of each tells on which side of another it lies.
fn is_nested(shape: &MultiPolygon<f64>) -> bool {
    let polygons: Vec<(&Polygon<f64>, Rect<f64>)> =
        shape.iter().filter_map(|polygon| Some((polygon, polygon.bounding_rect()?))).collect();
    let lies_in = |corner: Option<&Coord<f64>>, polygon: &Polygon<f64>| {
        corner.is_some_and(|corner| polygon.contains(&Point(*corner)))
    };
    polygons.iter().enumerate().all(|(at, (polygon, _))| {
        let corner = polygon.exterior().0.first();
        let apart = polygons.iter().enumerate().all(|(other_at, (other, rect))| {
            other_at == at
                || !corner.is_some_and(|corner| rect.contains(&Point(*corner)))
                || !lies_in(corner, other)
        });
        apart && holes_fit(polygon)
    })
}

fn holes_fit(polygon: &Polygon<f64>) -> bool {
    let outer = Polygon::new(polygon.exterior().clone(), vec![]);
    let holes: Vec<Polygon<f64>> =
        polygon.interiors().iter().map(|hole| Polygon::new(hole.clone(), vec![])).collect();
    holes.iter().enumerate().all(|(at, hole)| {
        let corner = hole.exterior().0.first().map(|corner| Point(*corner));
        corner.is_some_and(|corner| {
            outer.contains(&corner)
                && holes.iter().enumerate().all(|(other, hole)| other == at || !hole.contains(&corner))
        })
    })
}

#[cfg(test)]
mod tests {
    use geo::{LineString, Orient as _, orient::Direction};

    use super::*;

    fn ring(corners: &[(i8, i8)]) -> LineString<f64> {
        let corners: Vec<(f64, f64)> = corners.iter().map(|(x, y)| (f64::from(*x), f64::from(*y))).collect();
        let mut ring = LineString::from(corners);
        ring.close();
        ring.0.dedup();
        ring
    }

    /// Whether the ring turns back upon itself at a corner, which `geo` lets pass.
    fn has_spike(ring: &LineString<f64>) -> bool {
        let corners = &ring.0[1..];
        corners.iter().enumerate().any(|(at, corner)| {
            let (before, after) = (ring.0[at] - *corner, corners[(at + 1) % corners.len()] - *corner);
            before.x * after.y == before.y * after.x && before.x * after.x + before.y * after.y > 0.0
        })
    }

    proptest::proptest! {
        #![proptest_config(proptest::test_runner::Config::with_cases(2_000))]

        /// On a coarse grid rings meet, touch and run along one another all the time: both judges must agree.
        #[test]
        fn the_sweep_agrees_with_the_slow_judge(
            outer in proptest::collection::vec((0i8..7, 0i8..7), 3..8),
            inner in proptest::collection::vec((0i8..7, 0i8..7), 3..5),
        ) {
            for holes in [vec![], vec![ring(&inner)]] {
                let polygon = Polygon::new(ring(&outer), holes);
                if polygon.exterior().0.len() < 4 || polygon.interiors().iter().any(|hole| hole.0.len() < 4) {
                    continue;
                }
                let shape = MultiPolygon(vec![polygon.orient(Direction::Default)]);
                let right = shape.is_valid() && !rings(&shape).any(has_spike);
                proptest::prop_assert_eq!(is_simple(&shape), right, "{:?}", shape);
            }
        }
    }
}
