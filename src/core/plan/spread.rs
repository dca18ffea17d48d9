//! How far apart rows lie and how level, over their whole length.

use geo::{Coord, Line, LineString, MultiPolygon};

use crate::{
    plan::{
        fall_line::{SegmentIndex, to_next_row},
        inside::Inside,
        surface::Surface,
    },
    units::{Metres, PercentSlope, Share},
};

/// Spacing that strays from what was asked by more than this share of it is off.
pub const SPACING_TOLERANCE: f64 = 0.15;

/// A row that rises or falls along its length by more than this, rise over run, is not level.
pub const GRADE_TOLERANCE: f64 = 0.02;

/// The next row below is looked for this many spacings down the slope.
const REACH: f64 = 2.5;

/// Steps down the fall line in one spacing.
const STEPS: f64 = 8.0;

/// Rows are read at pieces of at most this share of the spacing.
const PIECE: f64 = 0.5;

/// One reading of a row: a piece of it, from its middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Which row.
    pub row: usize,
    /// The middle of the piece.
    pub place: Coord<f64>,
    /// Its length along the ground.
    pub length: Metres,
    /// Along the ground down the fall line to the next row; `None` where no row lies below.
    pub gap: Option<Metres>,
    /// Rise or fall along the row, never negative.
    pub grade: PercentSlope,
}

/// Readings of every row of `rows`, on the same ground as they were laid on, within `planted`.
#[must_use]
pub fn readings(
    ground: &Surface,
    rows: &[LineString<f64>],
    Metres(spacing): Metres,
    planted: &MultiPolygon<f64>,
) -> Vec<Reading> {
    let segments = SegmentIndex::of(rows, spacing);
    let planted = Inside::of(planted);
    let inside = |place: Coord<f64>| planted.holds(place);
    let mut readings = Vec::new();
    for (row, line) in rows.iter().enumerate() {
        for (at, edge) in line.lines().enumerate() {
            for piece in cut(edge, spacing * PIECE) {
                let (Some(one), Some(other)) = (ground.at(piece.start), ground.at(piece.end)) else {
                    continue;
                };
                let (way, rise) = (piece.delta(), other.height - one.height);
                let plan = libm::hypot(way.x, way.y);
                if plan <= 0.0 {
                    continue;
                }
                let place = piece.start + way * 0.5;
                let (step, reach) = (spacing / STEPS, spacing * REACH);
                let gap = to_next_row(ground, &segments, (place, (row, at)), (step, reach), inside);
                readings.push(Reading {
                    row,
                    place,
                    length: Metres(libm::hypot(plan, rise)),
                    gap: gap.map(Metres),
                    grade: PercentSlope(100.0 * rise.abs() / plan),
                });
            }
        }
    }
    readings
}

/// `edge` in equal pieces no longer than `most`.
fn cut(edge: Line<f64>, most: f64) -> impl Iterator<Item = Line<f64>> {
    let way = edge.delta();
    let pieces = (libm::hypot(way.x, way.y) / most).ceil().max(1.0);
    let at = move |piece: f64| edge.start + way * (piece / pieces);
    (0..pieces as u32).map(move |piece| Line::new(at(f64::from(piece)), at(f64::from(piece) + 1.0)))
}

/// How rows came out, every metre of row counting the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Spacing to the next row below that a twentieth, a half and nineteen twentieths of the length stay under.
    pub spacing: [Metres; 3],
    /// Share of the length whose spacing is within the tolerance of what was asked.
    pub spaced: Share,
    /// Share of the length that has a row below.
    pub measured: Share,
    /// Share of the length that is level to within the tolerance.
    pub level: Share,
    /// Grade that nineteen twentieths of the length stay under.
    pub grade_p95: PercentSlope,
    /// Steepest grade.
    pub grade_max: PercentSlope,
}

/// The spread of `readings` about `spacing`; `None` where no row has a row below.
#[must_use]
pub fn spread(readings: &[Reading], Metres(spacing): Metres) -> Option<Spread> {
    let with_gap = readings.iter().filter_map(|reading| Some((reading.gap?.0, reading.length.0)));
    let gaps = Weighted::of(with_gap);
    let grades = Weighted::of(readings.iter().map(|reading| (reading.grade.0, reading.length.0)));
    let band = spacing * (1.0 - SPACING_TOLERANCE)..=spacing * (1.0 + SPACING_TOLERANCE);
    Some(Spread {
        spacing: [Metres(gaps.quantile(0.05)?), Metres(gaps.quantile(0.5)?), Metres(gaps.quantile(0.95)?)],
        spaced: Share::nearest(gaps.share(|gap| band.contains(&gap))),
        measured: Share::nearest(gaps.weight / grades.weight),
        level: Share::nearest(grades.share(|grade| grade <= 100.0 * GRADE_TOLERANCE)),
        grade_p95: PercentSlope(grades.quantile(0.95)?),
        grade_max: PercentSlope(grades.quantile(1.0)?),
    })
}

/// Values with weights, smallest first.
pub(crate) struct Weighted {
    values: Vec<(f64, f64)>,
    weight: f64,
}

impl Weighted {
    pub(crate) fn of(values: impl Iterator<Item = (f64, f64)>) -> Weighted {
        let mut values: Vec<(f64, f64)> = values.collect();
        values.sort_by(|one, other| one.0.total_cmp(&other.0));
        Weighted { weight: values.iter().map(|(_, weight)| weight).sum(), values }
    }

    /// The smallest value that at least `share` of the weight does not exceed.
    pub(crate) fn quantile(&self, share: f64) -> Option<f64> {
        let mut sum = 0.0;
        let reached = self.values.iter().find(|(_, weight)| {
            sum += weight;
            sum >= share * self.weight
        });
        reached.or(self.values.last()).map(|(value, _)| *value)
    }

    pub(crate) fn share(&self, counts: impl Fn(f64) -> bool) -> f64 {
        let counted = self.values.iter().filter(|(value, _)| counts(*value));
        counted.map(|(_, weight)| weight).sum::<f64>() / self.weight
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reading(gap: Option<f64>, grade: f64, length: f64) -> Reading {
        Reading {
            row: 0,
            place: Coord::zero(),
            length: Metres(length),
            gap: gap.map(Metres),
            grade: PercentSlope(grade),
        }
    }

    #[test]
    fn every_metre_of_row_counts_the_same() {
        let readings = [
            reading(Some(4.0), 0.0, 90.0),
            reading(Some(4.59), 1.9, 5.0),
            reading(Some(4.7), 3.0, 5.0),
            reading(None, 2.5, 100.0),
        ];
        let came_out = spread(&readings, Metres(4.0)).unwrap();
        assert_eq!(came_out.spacing, [Metres(4.0), Metres(4.0), Metres(4.59)]);
        assert!((came_out.spaced.part() - 0.95).abs() < 1e-12);
        assert!((came_out.measured.part() - 0.5).abs() < 1e-12);
        assert!((came_out.level.part() - 0.475).abs() < 1e-12);
        assert_eq!((came_out.grade_p95, came_out.grade_max), (PercentSlope(2.5), PercentSlope(3.0)));
    }

    #[test]
    fn a_single_row_has_no_spread() {
        assert_eq!(spread(&[reading(None, 0.0, 10.0)], Metres(4.0)), None);
    }
}
