//! Soil loss of every cell.

use crate::{
    estimate::erosion::{SiteErosion, State},
    terrain::{Raster, centres},
};

impl SiteErosion<'_> {
    /// Soil loss in t/(ha.yr) of every cell whose centre lies in an area, R K × L S of the cell × C of its area; NaN elsewhere and
    /// where C is not known. `None` without a terrain model, or where R or K is not known.
    #[must_use]
    pub fn cells(&self, state: State) -> Option<Raster<f32>> {
        let hillside = self.hillside.as_ref()?;
        let (r, k) = self.rain_and_soil().ok()?;
        let ls = &hillside.ls;
        let mut loss = Raster { lattice: ls.lattice.clone(), values: vec![f32::NAN; ls.lattice.cells()] };
        for area in &self.areas {
            let (Ok(c), Some(placed)) = (area.cover(state), hillside.placed(&area.area.boundary)) else {
                continue;
            };
            let scale = r.value.0 * k.value.0 * c.value;
            for (row, column) in centres(&ls.lattice, &placed) {
                let at = row * ls.lattice.columns + column;
                loss.values[at] = single(scale * f64::from(ls.values[at]));
            }
        }
        Some(loss)
    }
}

#[allow(clippy::cast_possible_truncation, reason = "a loss needs seven digits at most")]
fn single(value: f64) -> f32 {
    value as f32
}
