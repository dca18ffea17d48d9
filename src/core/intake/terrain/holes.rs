//! Numbers that stand for a hole in the terrain and are not declared as such.

use crate::{problem::Terrain, terrain::Grid, units::number};

/// Metres by which the lowest or the highest value must stand off from all others, and by more than these reach themselves, to be
/// no height (common practice, no source: a mean over a cell smooths every cliff).
const APART: f64 = 100.0;

/// The value that can be no height among the others, with how many cells hold it.
pub(super) fn undeclared(heights: &Grid) -> Option<Terrain> {
    let known = || heights.values.iter().copied().filter(|value| !value.is_nan());
    let (low, high) = heights.range()?;
    let (low, high) = (low as f32, high as f32);
    let ends = |without: f32| {
        known().filter(|value| *value != without).fold(None, |ends: Option<(f32, f32)>, value| {
            let (low, high) = ends.unwrap_or((value, value));
            Some((low.min(value), high.max(value)))
        })
    };
    let stray = |value: f32| {
        let (least, most) = ends(value)?;
        let gap = f64::from(if value < least { least - value } else { value - most });
        (gap > APART && gap > f64::from(most - least)).then(|| Terrain::HoleValue {
            cells: known().filter(|other| *other == value).count(),
            value: number(value.into(), 0),
            low: number(least.into(), 0),
            high: number(most.into(), 0),
        })
    };
    if low == high { None } else { stray(low).or_else(|| stray(high)) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::terrain::{Coordinates, Lattice};

    fn grid(values: &[f32]) -> Grid {
        let lattice = Lattice {
            west: 0.0,
            north: 0.0,
            cell_x: 10.0,
            cell_y: 10.0,
            rows: 1,
            columns: values.len(),
            coordinates: Coordinates::Projected { metres_per_unit: 1.0 },
            crs: None,
        };
        Grid { lattice, values: values.to_vec() }
    }

    #[test]
    fn a_hole_stands_off_and_a_cliff_does_not() {
        let value = |values: &[f32]| match undeclared(&grid(values)) {
            Some(Terrain::HoleValue { value, cells, .. }) => Some((value, cells)),
            _ => None,
        };
        assert_eq!(value(&[612.0, 640.0, -9999.0, 655.5, -9999.0]), Some(("−9,999".to_owned(), 2)));
        assert_eq!(value(&[612.0, 0.0, 640.0]), Some(("0".to_owned(), 1)));
        assert_eq!(value(&[612.0, 32_767.0, 640.0]), Some(("32,767".to_owned(), 1)));
        assert_eq!(value(&[0.0, 0.0, 82.0, 95.0]), None, "a cliff by the sea");
        assert_eq!(value(&[200.0, 330.0, 470.0, 480.0]), None);
        assert_eq!(value(&[f32::NAN, 5.0, 5.0]), None);
    }
}
