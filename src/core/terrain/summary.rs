//! Mean, ninetieth percentile and maximum over the cells of an area.

use geo::MultiPolygon;

use crate::terrain::{Raster, centres, lattice::count};

/// What the cells whose centres lie in an area hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Summary {
    /// How many of them have a value.
    pub cells: usize,
    /// How many have none.
    pub without: usize,
    /// Mean.
    pub mean: f64,
    /// Nine cells in ten lie below it: between the two nearest of the ordered values, by a straight line.
    pub p90: f64,
    /// The greatest.
    pub max: f64,
}

/// The summary of `values` over `area` (in the unit of the lattice's coordinates); `None` where no cell there has a value.
#[must_use]
pub fn summary(values: &Raster<f32>, area: &MultiPolygon<f64>) -> Option<Summary> {
    let cells = centres(&values.lattice, area);
    let inside = cells.iter().filter_map(|&(row, column)| values.at(row, column));
    let mut known: Vec<f64> = inside.filter(|value| !value.is_nan()).map(f64::from).collect();
    known.sort_unstable_by(f64::total_cmp);
    let max = *known.last()?;
    let mean = known.iter().sum::<f64>() / count(known.len());
    Some(Summary {
        cells: known.len(),
        without: cells.len() - known.len(),
        mean,
        p90: quantile(&known, 0.9),
        max,
    })
}

/// The value below which `part` of the ordered `values` lie (definition 7 of Hyndman and Fan 1996, Am. Stat. 50:361-365).
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the slice")]
fn quantile(values: &[f64], part: f64) -> f64 {
    let place = part * count(values.len().saturating_sub(1));
    let below = place.floor() as usize;
    let value = |at: usize| values.get(at).or(values.last()).copied().unwrap_or(f64::NAN);
    value(below) + (place - place.floor()) * (value(below + 1) - value(below))
}
