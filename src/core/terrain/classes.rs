//! Slope classes and the share of an area in each.

use crate::{
    terrain::{Coverage, Raster},
    units::Degrees,
};

/// A slope this little below a break stands on it: a thousandth of a degree, which heights in single precision do not tell apart.
const ON_A_BREAK: f64 = 1e-3;

/// The class of `slope` among `breaks` (ascending), counted from 0: a slope on a break belongs to the steeper class.
#[must_use]
pub fn class_of(slope: Degrees, breaks: &[Degrees]) -> usize {
    breaks.partition_point(|one| one.0 <= slope.0 + ON_A_BREAK)
}

/// How an area divides among slope classes.
#[derive(Debug, Clone, PartialEq)]
pub struct ClassShares {
    /// Share of the area's plan in each class, from the gentlest; one more than there are breaks.
    pub shares: Vec<f64>,
    /// Share of the area for which no slope is known, beyond the terrain's edge included.
    pub unknown: f64,
}

impl ClassShares {
    /// Share of the plan whose slope is known.
    #[must_use]
    pub fn known(&self) -> f64 {
        self.shares.iter().sum()
    }
}

/// The share of an area in each slope class, every cell weighted by its own part of the area.
#[must_use]
pub fn class_shares(slope: &Raster<f32>, coverage: &Coverage, breaks: &[Degrees]) -> ClassShares {
    let mut shares = vec![0.0; breaks.len() + 1];
    let (mut held, mut sum) = (0.0, 0.0);
    for (row, column, share) in coverage.cells() {
        let area = slope.lattice.cell_area(row).0;
        held += share;
        sum += share * area;
        let Some(degrees) = slope.at(row, column).filter(|degrees| !degrees.is_nan()) else { continue };
        shares[class_of(Degrees(f64::from(degrees)), breaks)] += share * area;
    }
    // What lies beyond the lattice counts as cells of the mean size.
    let whole = if held > 0.0 { sum * (coverage.whole / held).max(1.0) } else { 0.0 };
    if whole > 0.0 {
        shares.iter_mut().for_each(|share| *share /= whole);
    }
    let unknown = (1.0 - shares.iter().sum::<f64>()).max(0.0);
    ClassShares { shares, unknown }
}

/// The share of an area's known slopes that are as steep as `limit` or steeper; `None` where no slope is known.
#[must_use]
pub fn share_from(slope: &Raster<f32>, coverage: &Coverage, limit: Degrees) -> Option<f64> {
    let classes = class_shares(slope, coverage, &[limit]);
    (classes.known() > 0.0).then(|| classes.shares[1] / classes.known())
}
