//! Fences, tracks and the like that are drawn twice, so that their length counts twice.

use geo::{BoundingRect as _, Coord, Distance as _, Euclidean, LineString, MultiLineString, Point, Rect};

use crate::{
    geometry,
    problem::{Change, Place, Plausibility, Problem, SecondReading},
    project::{Feature, Project, Shape},
    units::{Degrees, number},
};

/// Metres between two drawings of one line: the error of a telephone's position, well below the width of a lane between two
/// fences (common practice, no source).
const TOLERANCE: f64 = 3.0;

/// The part of a line that must run along another for it to be the same (common practice, no source).
const ALONG: f64 = 0.8;

/// Metres between the places of a line that are looked at.
const STEP: f64 = 5.0;

/// Lines that are held against one another; a layer of more is a map of the district.
const MOST: usize = 2_000;

/// Metres in a degree of latitude, near enough for a distance of a few metres.
const DEGREE: f64 = 111_195.0;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let lines: Vec<(&Feature, &MultiLineString<f64>, Rect<f64>)> = project
        .features
        .iter()
        .filter_map(|feature| match &feature.shape {
            Shape::Lines(lines) => Some((feature, lines, lines.bounding_rect()?)),
            _ => None,
        })
        .collect();
    if lines.len() > MOST {
        return;
    }
    for (at, (later, line, about)) in lines.iter().enumerate() {
        let earlier = lines[..at].iter().find_map(|(first, other, there)| {
            let alike = first.kind == later.kind && near(*about, *there);
            let shared = if alike { shared(line, other) } else { 0.0 };
            (shared >= ALONG).then_some((first, other, shared))
        });
        let Some((first, other, shared)) = earlier else { continue };
        let (length, before) = (geometry::length(line).0, geometry::length(other).0);
        let kind = Plausibility::LineDrawnTwice {
            kind: later.kind.words(),
            first: first.source.row,
            shared: number(length * shared, 0),
            tolerance: number(TOLERANCE, 0),
            sum: number(length + before, 0),
        };
        let other = SecondReading::of(Change::LeftOut, [&later.source]);
        problems.push(Problem::new(kind, Place::row(&later.source).column("geometry")).or(other));
    }
}

/// Whether two boxes of degrees lie within the tolerance of one another.
fn near(one: Rect<f64>, other: Rect<f64>) -> bool {
    let margin = 2.0 * TOLERANCE / DEGREE;
    one.min().x <= other.max().x + margin
        && other.min().x <= one.max().x + margin
        && one.min().y <= other.max().y + margin
        && other.min().y <= one.max().y + margin
}

/// The part of `line` that runs along `other`.
fn shared(line: &MultiLineString<f64>, other: &MultiLineString<f64>) -> f64 {
    let Some(origin) = line.0.iter().flat_map(|line| line.0.first()).next().copied() else { return 0.0 };
    let shrink = Degrees(origin.y).cos();
    let metres = |place: &Coord<f64>| Coord {
        x: (place.x - origin.x) * shrink * DEGREE,
        y: (place.y - origin.y) * DEGREE,
    };
    let flat = |line: &LineString<f64>| LineString(line.0.iter().map(metres).collect());
    let there = MultiLineString(other.0.iter().map(flat).collect());
    let (mut along, mut places) = (0_u32, 0_u32);
    for line in line.0.iter().map(flat) {
        for leg in line.lines() {
            let steps = (libm::hypot(leg.delta().x, leg.delta().y) / STEP).ceil().clamp(1.0, 10_000.0) as u32;
            for step in 0..steps {
                let part = (f64::from(step) + 0.5) / f64::from(steps);
                let place = Point(leg.start + leg.delta() * part);
                places += 1;
                along += u32::from(Euclidean.distance(&place, &there) <= TOLERANCE);
            }
        }
    }
    if places == 0 { 0.0 } else { f64::from(along) / f64::from(places) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(places: &[(f64, f64)]) -> MultiLineString<f64> {
        MultiLineString(vec![LineString::from(places.to_vec())])
    }

    #[test]
    fn a_line_that_runs_along_another_shares_it() {
        let fence = line(&[(148.0, -36.0), (148.002, -36.0)]);
        let walked = line(&[(148.002, -36.00001), (148.001, -36.00002), (148.0, -36.00001)]);
        let lane = line(&[(148.0, -36.0001), (148.002, -36.0001)]);
        let half = line(&[(148.001, -36.0), (148.003, -36.0)]);
        assert_eq!(shared(&walked, &fence), 1.0);
        assert_eq!(shared(&lane, &fence), 0.0, "eleven metres apart");
        assert!((shared(&half, &fence) - 0.5).abs() < 0.05);
    }
}
