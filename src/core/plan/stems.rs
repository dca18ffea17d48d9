//! Places of stems along the rows.

use geo::{Coord, LineString};

use crate::{
    plan::{
        above::Above,
        fall_line::SegmentIndex,
        rows::{AreaRows, LaidOn, Row},
    },
    project::PlantingDesign,
    units::Metres,
};

/// A row that is short of a whole number of spacings by less than this is not short of it, m.
const HAIR: f64 = 1e-6;

/// Ground lengths along a row are measured over pieces of at most this, m.
const PIECE: f64 = 1.0;

/// One stem to be set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stem {
    /// The row's number.
    pub row: u32,
    /// From the row's beginning, along the ground.
    pub along: Metres,
    /// Its place on the plane of the area.
    pub place: Coord<f64>,
    /// Its role: a place in the design's pattern; `None` where the design has none.
    pub role: Option<usize>,
}

/// Stems that a row holds: one more than whole spacings have room in it, on a closed row as many.
///
/// The two ends of an open row keep equal slack; on a closed row all stems are equally far apart, never nearer than asked.
#[must_use]
pub fn stems_in(length: Metres, spacing: Metres, closed: bool) -> u64 {
    let spacings = ((length.0 + HAIR) / spacing.0).floor().max(0.0) as u64;
    if closed { spacings.max(1) } else { spacings + 1 }
}

/// The stems of `rows`, row by row, the pattern of roles going on from each row to the next.
///
/// Where `exposed` is given, stems nearer than that to the edge of the planted ground take the pattern's first role. Where the design
/// asks for it, stems stand across from the gaps of the rows that lie above their own, as well as one step along the row allows.
#[must_use]
pub fn stems(rows: &AreaRows, design: &PlantingDesign, exposed: Option<Metres>) -> Vec<Stem> {
    let ground = &rows.plantable.ground;
    let rings: Vec<LineString<f64>> = ground
        .iter()
        .flat_map(|polygon| std::iter::once(polygon.exterior()).chain(polygon.interiors()).cloned())
        .collect();
    let edges = SegmentIndex::of(&rings, exposed.map_or(1.0, |reach| reach.0.max(1.0)));
    let at_edge = |place| exposed.is_some_and(|reach| edges.near(place, reach.0, |_| false));
    let mut roles = (0..design.pattern.len()).cycle();
    let mut above = Above::within(design.spacing);
    let mut stems = Vec::new();
    for row in &rows.rows {
        let course = Course::of(row, &rows.laid_on);
        let across = if design.stagger { above.across(&course, design.stem_spacing) } else { None };
        for (along, place) in course.places(design.stem_spacing, across) {
            above.put(place);
            let role = roles.next().map(|role| if at_edge(place) { 0 } else { role });
            stems.push(Stem { row: row.number, along, place, role });
        }
    }
    stems
}

/// A row cut into pieces of a metre at most, with the ground length walked to each.
pub(crate) struct Course {
    /// The beginnings of the pieces and the row's end.
    pub(crate) places: Vec<Coord<f64>>,
    /// Ground length from the row's beginning to each.
    pub(crate) walked: Vec<f64>,
    /// Its whole length along the ground.
    pub(crate) length: Metres,
    /// Whether it comes back to its beginning.
    pub(crate) closed: bool,
}

impl Course {
    fn of(row: &Row, laid_on: &LaidOn) -> Course {
        let (mut places, mut walked) = (Vec::new(), Vec::new());
        let mut so_far = 0.0;
        for edge in row.line.lines() {
            let way = edge.delta();
            let pieces = (libm::hypot(way.x, way.y) / PIECE).ceil().max(1.0);
            for piece in 0..pieces as u32 {
                let from = edge.start + way * (f64::from(piece) / pieces);
                let to = edge.start + way * (f64::from(piece + 1) / pieces);
                places.push(from);
                walked.push(so_far);
                so_far += laid_on.length(&LineString(vec![from, to])).0;
            }
        }
        places.extend(row.line.0.last());
        walked.push(so_far);
        Course { places, walked, length: row.length, closed: row.closed() }
    }

    /// How far apart stems stand on it.
    pub(crate) fn apart(&self, spacing: Metres) -> f64 {
        if self.closed { self.length.0 / stems_in(self.length, spacing, true) as f64 } else { spacing.0 }
    }

    /// The places of its stems, with their distance along the ground: the `first` so far from its beginning, or with equal slack at
    /// both ends.
    fn places(&self, spacing: Metres, first: Option<f64>) -> Vec<(Metres, Coord<f64>)> {
        let apart = self.apart(spacing);
        let first = first.unwrap_or_else(|| {
            let slack = self.length.0 - (stems_in(self.length, spacing, false) - 1) as f64 * apart;
            if self.closed { 0.0 } else { slack / 2.0 }
        });
        let number = match self.closed {
            true => stems_in(self.length, spacing, true),
            false => stems_in(Metres(self.length.0 - first), spacing, false),
        };
        let mut wanted = (0..number).map(|stem| first + stem as f64 * apart).peekable();
        let mut places = Vec::new();
        for (at, pair) in self.places.windows(2).enumerate() {
            let (from, to) = (self.walked[at], self.walked[at + 1]);
            while let Some(along) = wanted.next_if(|along| *along <= to) {
                let share = if to > from { (along - from) / (to - from) } else { 0.0 };
                places.push((Metres(along), pair[0] + (pair[1] - pair[0]) * share));
            }
        }
        // Rounding may leave the last a hair beyond the row's end.
        places.extend(wanted.zip(self.places.last().copied()).map(|(along, end)| (Metres(along), end)));
        places
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Hand-worked block: 120 m of row at 1.8 m holds 67 stems, 118.2 m holds 66.
    #[test]
    fn a_row_holds_a_stem_more_than_spacings() {
        let stems = |length: f64, spacing: f64| stems_in(Metres(length), Metres(spacing), false);
        assert_eq!((stems(120.0, 1.8), stems(118.2, 1.8)), (67, 66));
        assert_eq!((stems(4.0, 2.0), stems(3.999_999_9, 2.0), stems(3.99, 2.0)), (3, 3, 2));
        assert_eq!((stems(1.0, 2.0), stems(0.1, 2.0)), (1, 1));
    }

    #[test]
    fn a_ring_holds_as_many_as_spacings() {
        assert_eq!(stems_in(Metres(20.0), Metres(2.0), true), 10);
        assert_eq!(stems_in(Metres(1.0), Metres(2.0), true), 1);
    }

    fn row(corners: Vec<(f64, f64)>) -> Row {
        let line = LineString::from(corners);
        let level = LaidOn::GuideLine(crate::units::Degrees(0.0));
        Row { number: 1, length: level.length(&line), line }
    }

    fn straight(from: (f64, f64), to: (f64, f64)) -> Course {
        Course::of(&row(vec![from, to]), &LaidOn::GuideLine(crate::units::Degrees(0.0)))
    }

    /// On a straight slope every stem stands across from the middle of a gap of the row above, wherever either row starts.
    #[test]
    fn stems_stand_across_from_gaps() {
        let mut above = Above::within(Metres(4.0));
        let rows = [((0.0, 0.0), (50.0, 0.0)), ((3.3, -4.0), (61.0, -4.0)), ((58.0, -8.0), (-7.1, -8.0))];
        let mut before: Option<f64> = None;
        for (from, to) in rows {
            let course = straight(from, to);
            let across = above.across(&course, Metres(2.0));
            assert_eq!(across.is_some(), before.is_some(), "the first row has none above it");
            let places = course.places(Metres(2.0), across);
            assert!(places.len() as f64 >= course.length.0 / 2.0 - 1.0);
            for (_, place) in &places {
                if let Some(before) = before {
                    assert!(((place.x - before).rem_euclid(2.0) - 1.0).abs() < 1e-6, "{before} {place:?}");
                }
                above.put(*place);
            }
            before = Some(places[0].1.x);
        }
    }

    /// On rings about a hill the step cannot be the same in all rows; stems stand across from gaps as well as they can, and whatever
    /// the ring, none nearer than asked.
    #[test]
    fn a_ring_keeps_its_step() {
        let mut above = Above::within(Metres(4.0));
        for radius in [20.0, 24.0, 28.0] {
            let corner = |at: u32| {
                let angle = f64::from(at) * std::f64::consts::TAU / 180.0;
                (radius * libm::cos(angle), radius * libm::sin(angle))
            };
            let ring = (0..=180).map(|at| if at == 180 { corner(0) } else { corner(at) }).collect();
            let course = Course::of(&row(ring), &LaidOn::GuideLine(crate::units::Degrees(0.0)));
            let places = course.places(Metres(2.0), above.across(&course, Metres(2.0)));
            assert_eq!(places.len() as u64, stems_in(course.length, Metres(2.0), true));
            assert!(places.windows(2).all(|pair| pair[1].0.0 - pair[0].0.0 >= 2.0 - 1e-9));
            places.iter().for_each(|(_, place)| above.put(*place));
        }
    }

    proptest::proptest! {
        /// Along any row stems are one spacing apart along it, with the same slack before the first and after the last.
        #[test]
        fn stems_are_a_spacing_apart(
            corners in proptest::collection::vec((0.0f64..90.0, 0.0f64..90.0), 2..9),
            spacing in 0.5f64..7.0,
        ) {
            let row = row(corners);
            let level = LaidOn::GuideLine(crate::units::Degrees(0.0));
            let places = Course::of(&row, &level).places(Metres(spacing), None);
            proptest::prop_assert_eq!(places.len() as u64, stems_in(row.length, Metres(spacing), row.closed()));
            for pair in places.windows(2) {
                proptest::prop_assert!((pair[1].0.0 - pair[0].0.0 - spacing).abs() < 1e-9);
                let chord = pair[1].1 - pair[0].1;
                proptest::prop_assert!(libm::hypot(chord.x, chord.y) <= spacing + 1e-6);
            }
            let (first, last) = (places[0].0.0, places[places.len() - 1].0.0);
            proptest::prop_assert!((first - (row.length.0 - last)).abs() < 1e-6);
        }
    }
}
