//! Row quality: rows read once more on the heights of the terrain model as they stand, without the smoothing they were laid on.

use geo::{BoundingRect, Coord, LineString, MultiPolygon, Rect};

use crate::{
    geometry::Plane,
    plan::{
        heights::{Heights, rounding},
        spread::{GRADE_TOLERANCE, Reading, Spread, Weighted, readings, spread},
        surface::Surface,
    },
    terrain::Grid,
    units::{Metres, PercentSlope, Share},
};

/// Ground is known this many spacings beyond the rows: ways down the slope to the next row lead over it.
const MARGIN: f64 = 4.0;

/// Knots of the unsmoothed surface lie this share of a spacing apart.
const STEP: f64 = 0.25;

/// From one peg of a row to the next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    /// Its length in plan.
    pub length: Metres,
    /// Rise or fall from peg to peg, never negative.
    pub grade: PercentSlope,
}

/// Rows on a model's own heights.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AsMeasured {
    /// Pieces of the rows on the unsmoothed ground: how far to the next row down the fall line.
    pub readings: Vec<Reading>,
    /// Between pegs a spacing apart, heights by cubic convolution.
    pub pegs: Vec<Leg>,
    /// The same, heights by straight lines between the four about each peg.
    pub straight: Vec<Leg>,
    /// The grade that a level row shows by the rounding of the heights alone, as a standard error; nought where they are fine.
    pub by_rounding: PercentSlope,
}

/// `rows` on the heights of `grid` (on `plane`, within `planted`); `None` where the grid's coordinate reference system is not known.
///
/// # Method
/// Both surfaces pass through every height of the model: one bends between them, the other is straight and has a crease along
/// each line of cells. Where cells are much wider than a spacing the two differ by more than a row may rise: the model does not
/// tell which is nearer to the ground. Rounding to a step q on cells c wide gives the straight surface slopes with a standard
/// error of q / 3c: q / √12 for each height, two of which make a slope, and √(2/3) for what a place between them shares of both.
#[must_use]
pub fn as_measured(
    rows: &[LineString<f64>],
    planted: &MultiPolygon<f64>,
    (grid, plane): (&Grid, &Plane),
    spacing: Metres,
) -> Option<AsMeasured> {
    let bounds = planted.bounding_rect()?;
    let beyond = Coord { x: 1.0, y: 1.0 } * (MARGIN * spacing.0);
    let bounds = Rect::new(bounds.min() - beyond, bounds.max() + beyond);
    let heights = Heights::within(grid, plane, bounds)?;
    let corners = (bounds.min(), bounds.max());
    let surface = Surface::over(corners, Metres(STEP * spacing.0), |place| heights.at(place));
    let (width, _) = grid.lattice.cell_metres(grid.lattice.rows / 2);
    Some(AsMeasured {
        readings: readings(&surface, rows, spacing, planted),
        pegs: legs(rows, spacing, |place| heights.at(place)),
        straight: legs(rows, spacing, |place| heights.straight(place)),
        by_rounding: PercentSlope(100.0 * rounding(grid) / (3.0 * width)),
    })
}

/// Rows pegged at equal steps of about a spacing.
fn legs(
    rows: &[LineString<f64>],
    Metres(spacing): Metres,
    height: impl Fn(Coord<f64>) -> Option<f64>,
) -> Vec<Leg> {
    let mut legs = Vec::new();
    for row in rows {
        let pegs: Vec<(Coord<f64>, Option<f64>)> =
            pegs(row, spacing).into_iter().map(|peg| (peg, height(peg))).collect();
        for pair in pegs.windows(2) {
            let [(one, Some(from)), (other, Some(to))] = pair[..] else { continue };
            let length = libm::hypot(other.x - one.x, other.y - one.y);
            if length > 0.0 {
                let grade = PercentSlope(100.0 * (to - from).abs() / length);
                legs.push(Leg { length: Metres(length), grade });
            }
        }
    }
    legs
}

fn pegs(row: &LineString<f64>, spacing: f64) -> Vec<Coord<f64>> {
    let length: f64 = row.lines().map(|edge| libm::hypot(edge.dx(), edge.dy())).sum();
    let steps = (length / spacing).round().max(1.0);
    let mut wanted = (0..steps as u32).map(|peg| f64::from(peg) * length / steps).peekable();
    let (mut pegs, mut walked) = (Vec::new(), 0.0);
    for edge in row.lines() {
        let own = libm::hypot(edge.dx(), edge.dy());
        while let Some(along) = wanted.next_if(|along| *along < walked + own) {
            pegs.push(edge.start + edge.delta() * ((along - walked) / own));
        }
        walked += own;
    }
    pegs.extend(row.0.last());
    pegs
}

/// What rows came to on a model's own heights, every metre counting the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RowQuality {
    /// Their pieces of half a spacing at most.
    pub pieces: Spread,
    /// Share of the length between pegs that is level to within the tolerance, heights by cubic convolution.
    pub level: Share,
    /// Grade between pegs that nineteen twentieths of the length stay under.
    pub grade_p95: PercentSlope,
    /// Share of the length between pegs that is level by the straight surface.
    pub straight: Share,
    /// The grade that rounding alone makes, as a standard error.
    pub by_rounding: PercentSlope,
}

/// What `measured` come to together; `None` where no row has a row below.
#[must_use]
pub fn row_quality<'a>(
    measured: impl Iterator<Item = &'a AsMeasured> + Clone,
    spacing: Metres,
) -> Option<RowQuality> {
    let of = |legs: fn(&AsMeasured) -> &Vec<Leg>| {
        let legs = measured.clone().flat_map(legs);
        Weighted::of(legs.map(|leg| (leg.grade.0, leg.length.0)))
    };
    let level = |legs: &Weighted| Share::nearest(legs.share(|grade| grade <= 100.0 * GRADE_TOLERANCE));
    let (pegs, straight) = (of(|one| &one.pegs), of(|one| &one.straight));
    let readings: Vec<Reading> = measured.clone().flat_map(|one| one.readings.iter().copied()).collect();
    Some(RowQuality {
        pieces: spread(&readings, spacing)?,
        level: level(&pegs),
        grade_p95: PercentSlope(pegs.quantile(0.95)?),
        straight: level(&straight),
        by_rounding: measured.map(|one| one.by_rounding).max_by(|a, b| a.0.total_cmp(&b.0))?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: pegs on a row of 10 m, 4 m apart as nearly as whole steps allow, are 3.33 m apart.
    #[test]
    fn pegs_stand_at_equal_steps_and_at_both_ends() {
        let row = LineString::from(vec![(0.0, 0.0), (7.0, 0.0), (7.0, 3.0)]);
        let pegs = pegs(&row, 4.0);
        let places: Vec<(f64, f64)> = pegs.iter().map(|peg| (peg.x, peg.y)).collect();
        let near = |one: (f64, f64), other: (f64, f64)| libm::hypot(one.0 - other.0, one.1 - other.1) < 1e-9;
        assert_eq!(places.len(), 4);
        for (peg, expected) in
            places.into_iter().zip([(0.0, 0.0), (10.0 / 3.0, 0.0), (20.0 / 3.0, 0.0), (7.0, 3.0)])
        {
            assert!(near(peg, expected), "{peg:?}");
        }
    }

    #[test]
    fn a_grade_is_the_rise_from_peg_to_peg() {
        let row = LineString::from(vec![(0.0, 0.0), (8.0, 0.0)]);
        let legs =
            legs(&[row], Metres(4.0), |place| Some(0.03 * place.x + if place.x > 5.0 { 0.04 } else { 0.0 }));
        let grades: Vec<f64> = legs.iter().map(|leg| leg.grade.0).collect();
        assert!((grades[0] - 3.0).abs() < 1e-9 && (grades[1] - 4.0).abs() < 1e-9, "{grades:?}");
    }
}
