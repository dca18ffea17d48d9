//! The places where the label of a point, a line or a surface may stand, each with what it costs.

use geo::{
    BoundingRect, Contains, Coord, Distance, Euclidean, LineString, MultiPolygon, Point, Polygon, Rect,
};

use crate::draw::{
    map::{
        patch::Patch,
        placement::{Form, Spot},
        window::rings,
    },
    text,
};

/// Directions about a point and what each costs: to the right is read best.
const DIRECTIONS: [(f64, f64, f64); 8] = [
    (1.0, 0.0, 0.0),
    (0.7, -0.7, 0.2),
    (-1.0, 0.0, 0.4),
    (0.0, -1.0, 0.5),
    (0.7, 0.7, 0.6),
    (0.0, 1.0, 0.7),
    (-0.7, -0.7, 0.8),
    (-0.7, 0.7, 0.9),
];

/// Directions between those, for leaders.
const BETWEEN: [(f64, f64, f64); 8] = [
    (0.93, -0.38, 0.1),
    (0.38, -0.93, 0.35),
    (0.93, 0.38, 0.3),
    (0.38, 0.93, 0.65),
    (-0.93, -0.38, 0.6),
    (-0.38, -0.93, 0.65),
    (-0.93, 0.38, 0.65),
    (-0.38, 0.93, 0.8),
];

/// Paper between a point's sign and its label, mm.
const GAP: f64 = 0.9;

/// Paper between the ink of a line and the label beside it, mm; the label's own height holds a little more.
const OFF_LINE: f64 = 0.2;

/// The parts of a line at which a leader to its name may begin.
const PARTS: [f64; 7] = [0.5, 0.35, 0.65, 0.2, 0.8, 0.08, 0.92];

/// Distance between two spots tried on a line, mm.
const STEP_ALONG: f64 = 2.5;

/// A surface shorter than this in mm may bear its label beside it.
const SMALL: f64 = 22.0;

/// No more places than this are tried on one surface.
const MOST_PLACES: usize = 240;

/// Samples across a surface in which places for its label are sought.
const SAMPLES: u32 = 22;

/// Spots about a sign of `radius` mm, close by and at the end of a leader.
#[must_use]
pub(super) fn about_point(at: Coord<f64>, radius: f64, lines: &[text::Line]) -> Vec<Spot> {
    let (width, height) = Form::size(lines);
    let ring = |distance: f64, cost: f64, led: bool| {
        let spot = |&(east, south, dearer): &(f64, f64, f64)| Spot {
            centre: Coord {
                x: at.x + east * distance + sign(east) * width / 2.0,
                // Capitals leave a little of a line's height free above and below.
                y: at.y + south * distance + sign(south) * (height / 2.0 - 0.4),
            },
            turn: 0.0,
            // The leader ends at the edge of the sign.
            leader: led.then(|| {
                let length = libm::hypot(east, south);
                let reach = (radius + 0.3) / length;
                Coord { x: at.x + east * reach, y: at.y + south * reach }
            }),
            cost: cost + dearer,
        };
        let between = if led { BETWEEN.as_slice() } else { &[] };
        DIRECTIONS.iter().chain(between).map(spot).collect::<Vec<Spot>>()
    };
    let mut spots = ring(radius + GAP, 0.0, false);
    spots.extend(ring(radius + 4.5, 3.0, true));
    spots.extend(ring(radius + 9.0, 5.0, true));
    spots.extend(ring(radius + 14.0, 7.0, true));
    spots.extend(ring(radius + 20.0, 9.0, true));
    spots
}

fn sign(direction: f64) -> f64 {
    if direction == 0.0 { 0.0 } else { direction.signum() }
}

/// Spots beside lines whose ink reaches `reach` mm to either side, turned along them where they run straight enough; failing
/// that, about their middle.
#[must_use]
pub(super) fn beside_lines(drawn: &[LineString<f64>], reach: f64, lines: &[text::Line]) -> Vec<Spot> {
    let (width, height) = Form::size(lines);
    let mut spots = Vec::new();
    for line in drawn {
        let places = stations(line);
        let Some(&(total, last)) = places.last() else { continue };
        let step = (total / 16.0).max(3.0);
        let mut from = 0.0;
        while from + width <= total {
            let (a, b) = (at_run(&places, from), at_run(&places, from + width));
            let bend = bend(&places, from, from + width, a, b);
            let middle = ((from + width / 2.0) / total - 0.5).abs();
            if bend < 1.2 {
                spots.extend(both_sides(a, b, height / 2.0 + reach + OFF_LINE, bend + 2.0 * middle));
            }
            from += step;
        }
        let middle = at_run(&places, total / 2.0);
        if total > 0.0 || last == middle {
            for part in PARTS {
                let about = about_point(at_run(&places, total * part), 0.6, lines).into_iter();
                let dearer = 3.0 + 2.0 * (part - 0.5).abs();
                spots.extend(about.map(|spot| Spot { cost: spot.cost + dearer, ..spot }));
            }
        }
    }
    spots
}

/// Spots on a line itself, where it runs straight enough for the words that are set into it, upright for the reader.
#[must_use]
pub(super) fn along_line(line: &LineString<f64>, lines: &[text::Line]) -> Vec<Spot> {
    let (width, _) = Form::size(lines);
    let places = stations(line);
    let total = places.last().map_or(0.0, |(run, _)| *run);
    let mut spots = Vec::new();
    let mut from = 2.0;
    while from + width + 2.0 <= total {
        let (a, b) = (at_run(&places, from), at_run(&places, from + width));
        let bend = bend(&places, from, from + width, a, b);
        if bend < 0.5 {
            let middle = ((from + width / 2.0) / total - 0.5).abs();
            let turn = libm::atan2(b.y - a.y, b.x - a.x).to_degrees();
            // Read from the right-hand side of the sheet at the steepest.
            let turn = if turn >= 90.0 {
                turn - 180.0
            } else if turn < -90.0 {
                turn + 180.0
            } else {
                turn
            };
            let centre = Coord { x: f64::midpoint(a.x, b.x), y: f64::midpoint(a.y, b.y) };
            spots.push(Spot { centre, turn, leader: None, cost: 2.0 * bend + middle + turn.abs() / 90.0 });
        }
        from += STEP_ALONG;
    }
    spots
}

/// The corners of a line, each with how far along the line it lies.
fn stations(line: &LineString<f64>) -> Vec<(f64, Coord<f64>)> {
    let mut run = 0.0;
    let mut places: Vec<(f64, Coord<f64>)> = Vec::with_capacity(line.0.len());
    for &corner in line.coords() {
        if let Some((_, before)) = places.last() {
            run += libm::hypot(corner.x - before.x, corner.y - before.y);
        }
        places.push((run, corner));
    }
    places
}

fn at_run(places: &[(f64, Coord<f64>)], run: f64) -> Coord<f64> {
    let next = places.partition_point(|(here, _)| *here < run).clamp(1, places.len().max(2) - 1);
    match (places.get(next - 1), places.get(next)) {
        (Some((from, a)), Some((to, b))) if to > from => {
            let part = ((run - from) / (to - from)).clamp(0.0, 1.0);
            Coord { x: a.x + part * (b.x - a.x), y: a.y + part * (b.y - a.y) }
        }
        (Some((_, a)), _) => *a,
        _ => Coord::zero(),
    }
}

/// How far the line strays from the straight way between two of its places.
fn bend(places: &[(f64, Coord<f64>)], from: f64, to: f64, a: Coord<f64>, b: Coord<f64>) -> f64 {
    let straight = geo::Line::new(a, b);
    let between = places.iter().filter(|(run, _)| (from..=to).contains(run));
    between.map(|(_, corner)| Euclidean.distance(&Point(*corner), &straight)).fold(0.0, f64::max)
}

/// Above and below the way from `a` to `b`, `off` mm from it, upright for the reader.
fn both_sides(a: Coord<f64>, b: Coord<f64>, off: f64, cost: f64) -> [Spot; 2] {
    let (a, b) = if b.x < a.x { (b, a) } else { (a, b) };
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let length = libm::hypot(dx, dy).max(1e-9);

    let turn = libm::atan2(dy, dx).to_degrees();
    [(1.0, 0.0), (-1.0, 0.4)].map(|(side, dearer)| Spot {
        centre: Coord {
            x: (a.x + b.x) / 2.0 + side * off * dy / length,
            y: (a.y + b.y) / 2.0 - side * off * dx / length,
        },
        turn,
        leader: None,
        cost: cost + dearer,
    })
}

/// Spots inside a surface, the roomiest first, then beside it at the end of a leader.
#[must_use]
pub(super) fn about_surface(
    surface: &MultiPolygon<f64>,
    inside: &[Roomy],
    frame: Rect<f64>,
    lines: &[text::Line],
) -> Vec<Spot> {
    let size = Form::size(lines);
    let heart = heart(inside);
    let mut spots: Vec<Spot> = inside
        .iter()
        .map(|(place, room)| {
            let patch = Patch::new(*place, size, 0.0);
            let spill = if holds(surface, &patch) { 0.0 } else { 3.0 };
            let lack = (size.1 / 2.0 - room).max(0.0);
            let away = libm::hypot(place.x - heart.x, place.y - heart.y);
            Spot { centre: *place, turn: 0.0, leader: None, cost: spill + lack + 0.04 * away }
        })
        .collect();
    // What only reaches into the map from outside is named where there is room on it, or not at all.
    if let Some((target, _)) = inside.first().filter(|_| mostly_inside(surface, frame)) {
        spots.extend(outside_spots(surface, *target, size));
    }
    spots
}

/// Spots close by the part of the surface that holds `target`, then farther off at the end of a leader.
fn outside_spots(surface: &MultiPolygon<f64>, target: Coord<f64>, size: (f64, f64)) -> Vec<Spot> {
    let reach = reach_of(surface, target);
    let ring = |distance: f64, cost: f64, leader: Option<Coord<f64>>| {
        DIRECTIONS.map(|(east, south, dearer)| Spot {
            centre: Coord {
                x: target.x + east * (reach.0 + distance) + sign(east) * size.0 / 2.0,
                y: target.y + south * (reach.1 + distance) + sign(south) * size.1 / 2.0,
            },
            turn: 0.0,
            leader,
            cost: cost + dearer,
        })
    };
    let mut spots = beside(surface, size);
    for distance in [3.0, 8.0, 15.0, 24.0] {
        spots.extend(ring(distance, 6.0 + distance / 6.0, Some(target)));
    }
    spots
}

/// Spots above, below and on either side of a surface small enough for the eye to join the two without a leader.
fn beside(surface: &MultiPolygon<f64>, (width, height): (f64, f64)) -> Vec<Spot> {
    let small = |bounds: &Rect<f64>| surface.0.len() == 1 && bounds.width().max(bounds.height()) < SMALL;
    let Some(bounds) = surface.bounding_rect().filter(small) else { return Vec::new() };
    let middle = bounds.center();
    let (across, down) =
        (bounds.width() / 2.0 + width / 2.0 + 0.8, bounds.height() / 2.0 + height / 2.0 + 0.4);
    [(0.0, -down, 0.0), (0.0, down, 0.1), (across, 0.0, 0.3), (-across, 0.0, 0.4)]
        .map(|(east, south, dearer)| Spot {
            centre: Coord { x: middle.x + east, y: middle.y + south },
            turn: 0.0,
            leader: None,
            cost: 3.0 + dearer,
        })
        .to_vec()
}

/// Whether at least half of the surface's box, each way, lies inside the frame.
#[must_use]
pub(super) fn mostly_inside(surface: &MultiPolygon<f64>, frame: Rect<f64>) -> bool {
    surface.bounding_rect().is_some_and(|bounds| {
        let shared = |low: f64, high: f64, from: f64, to: f64| (high.min(to) - low.max(from)).max(0.0);
        let wide = shared(bounds.min().x, bounds.max().x, frame.min().x, frame.max().x);
        let high = shared(bounds.min().y, bounds.max().y, frame.min().y, frame.max().y);
        wide >= 0.5 * bounds.width() && high >= 0.5 * bounds.height()
    })
}

/// The middle of the roomiest places: of those with at least nine tenths of the most room.
fn heart(places: &[Roomy]) -> Coord<f64> {
    let most = places.first().map_or(0.0, |(_, room)| *room);
    let roomy: Vec<Coord<f64>> =
        places.iter().take_while(|(_, room)| *room >= 0.9 * most).map(|(place, _)| *place).collect();
    let count = roomy.len().max(1) as f64;
    let sum = roomy.iter().fold(Coord::zero(), |sum, place| sum + *place);
    Coord { x: sum.x / count, y: sum.y / count }
}

/// Half the width and height of the part of the surface that `place` lies in.
fn reach_of(surface: &MultiPolygon<f64>, place: Coord<f64>) -> (f64, f64) {
    let part = surface.iter().find(|polygon| polygon.contains(&place)).or(surface.iter().next());
    let corners = part.into_iter().flat_map(|polygon| polygon.exterior().coords());
    corners.fold((0.0, 0.0), |(east, south), corner| {
        (f64::max(east, (corner.x - place.x).abs()), f64::max(south, (corner.y - place.y).abs()))
    })
}

/// A place on a surface and its distance from the nearest edge.
pub(super) type Roomy = (Coord<f64>, f64);

/// Places inside the surface and the frame, the roomiest first.
#[must_use]
pub(super) fn roomy_places(surface: &MultiPolygon<f64>, frame: Rect<f64>) -> Vec<Roomy> {
    let mut places: Vec<Roomy> = surface.iter().flat_map(|polygon| inside(polygon, frame)).collect();
    places.sort_by(|a, b| b.1.total_cmp(&a.1));
    places.truncate(MOST_PLACES);
    places
}

fn inside(polygon: &Polygon<f64>, frame: Rect<f64>) -> Vec<Roomy> {
    let corners = polygon.exterior().coords();
    let bounds = corners.fold(None, |bounds: Option<(Coord<f64>, Coord<f64>)>, corner| {
        let (low, high) = bounds.unwrap_or((*corner, *corner));
        Some((
            Coord { x: low.x.min(corner.x), y: low.y.min(corner.y) },
            Coord { x: high.x.max(corner.x), y: high.y.max(corner.y) },
        ))
    });
    let Some((low, high)) = bounds else { return Vec::new() };
    let (low, high) = (
        Coord { x: low.x.max(frame.min().x), y: low.y.max(frame.min().y) },
        Coord { x: high.x.min(frame.max().x), y: high.y.min(frame.max().y) },
    );
    if low.x >= high.x || low.y >= high.y {
        return Vec::new();
    }
    let step = |length: f64, at: u32| length * (f64::from(at) + 0.5) / f64::from(SAMPLES);
    let samples = (0..SAMPLES * SAMPLES).map(|n| Coord {
        x: low.x + step(high.x - low.x, n % SAMPLES),
        y: low.y + step(high.y - low.y, n / SAMPLES),
    });
    let room = |place: Coord<f64>| {
        let edge = |ring: &LineString<f64>| Euclidean.distance(&Point(place), ring);
        rings(polygon).map(edge).fold(f64::INFINITY, f64::min)
    };
    samples.filter(|place| polygon.contains(place)).map(|place| (place, room(place))).collect()
}

/// Whether the patch lies wholly on the surface: no corner off it, no edge of it underneath.
fn holds(surface: &MultiPolygon<f64>, patch: &Patch) -> bool {
    let corners = patch.corners();
    let on = |polygon: &&Polygon<f64>| corners.iter().all(|corner| polygon.contains(corner));
    surface.iter().find(on).is_some_and(|polygon| {
        rings(polygon)
            .flat_map(LineString::lines)
            .all(|edge| !Patch::along(edge.start, edge.end, 0.0).overlaps(patch))
    })
}

/// Spots inside and outside the corners of a frame.
#[must_use]
pub(super) fn in_corners(surface: &MultiPolygon<f64>, lines: &[text::Line]) -> Vec<Spot> {
    let (width, height) = Form::size(lines);
    let corners = surface.iter().flat_map(|polygon| polygon.exterior().coords());
    let mut edges = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
    for corner in corners {
        edges =
            [edges[0].min(corner.x), edges[1].min(corner.y), edges[2].max(corner.x), edges[3].max(corner.y)];
    }
    let [left, top, right, bottom] = edges;
    let (dx, dy) = (width / 2.0 + 1.0, height / 2.0 + 0.7);
    let spot = |x: f64, y: f64, cost: f64| Spot { centre: Coord { x, y }, turn: 0.0, leader: None, cost };
    vec![
        spot(left + dx, top + dy, 0.0),
        spot(right - dx, top + dy, 0.1),
        spot(left + dx, bottom - dy, 0.2),
        spot(right - dx, bottom - dy, 0.3),
        spot(left + dx, top - dy, 0.4),
        spot(right - dx, top - dy, 0.5),
        spot(left + dx, bottom + dy, 0.6),
        spot(right - dx, bottom + dy, 0.7),
        spot(left - dx, (top + bottom) / 2.0, 0.8),
        spot(right + dx, (top + bottom) / 2.0, 0.9),
    ]
}
