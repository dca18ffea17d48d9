//! Places of stems along the rows.

use geo::{Coord, LineString};

use crate::{
    plan::{
        fall_line::Pockets,
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
/// Where `exposed` is given, stems nearer than that to the edge of the planted ground take the pattern's first role.
#[must_use]
pub fn stems(rows: &AreaRows, design: &PlantingDesign, exposed: Option<Metres>) -> Vec<Stem> {
    let ground = &rows.plantable.ground;
    let rings: Vec<LineString<f64>> = ground
        .iter()
        .flat_map(|polygon| std::iter::once(polygon.exterior()).chain(polygon.interiors()).cloned())
        .collect();
    let edges = Pockets::of(&rings, exposed.map_or(1.0, |reach| reach.0.max(1.0)));
    let at_edge = |place| exposed.is_some_and(|reach| edges.near(place, reach.0, |_| false));
    let mut roles = (0..design.pattern.len()).cycle();
    let mut stems = Vec::new();
    for row in &rows.rows {
        for (along, place) in places(row, design.stem_spacing, &rows.laid_on) {
            let role = roles.next().map(|role| if at_edge(place) { 0 } else { role });
            stems.push(Stem { row: row.number, along, place, role });
        }
    }
    stems
}

/// The places of a row's stems, with their distance along the ground.
fn places(row: &Row, spacing: Metres, laid_on: &LaidOn) -> Vec<(Metres, Coord<f64>)> {
    let number = stems_in(row.length, spacing, row.closed());
    let (apart, first) = if row.closed() {
        (row.length.0 / number as f64, 0.0)
    } else {
        (spacing.0, (row.length.0 - (number - 1) as f64 * spacing.0) / 2.0)
    };
    let mut wanted = (0..number).map(|stem| first + stem as f64 * apart).peekable();
    let mut places = Vec::new();
    let mut walked = 0.0;
    for edge in row.line.lines() {
        let way = edge.delta();
        let pieces = (libm::hypot(way.x, way.y) / PIECE).ceil().max(1.0);
        for piece in 0..pieces as u32 {
            let from = edge.start + way * (f64::from(piece) / pieces);
            let to = edge.start + way * (f64::from(piece + 1) / pieces);
            let length = laid_on.length(&LineString(vec![from, to])).0;
            while let Some(along) = wanted.next_if(|along| *along <= walked + length) {
                let share = if length > 0.0 { (along - walked) / length } else { 0.0 };
                places.push((Metres(along), from + (to - from) * share));
            }
            walked += length;
        }
    }
    // Rounding may leave the last a hair beyond the row's end.
    places.extend(wanted.zip(row.line.0.last().copied()).map(|(along, end)| (Metres(along), end)));
    places
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

    proptest::proptest! {
        /// Along any row stems are one spacing apart along it, with the same slack before the first and after the last.
        #[test]
        fn stems_are_a_spacing_apart(
            corners in proptest::collection::vec((0.0f64..90.0, 0.0f64..90.0), 2..9),
            spacing in 0.5f64..7.0,
        ) {
            let row = row(corners);
            let level = LaidOn::GuideLine(crate::units::Degrees(0.0));
            let places = places(&row, Metres(spacing), &level);
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
