//! The cells of a grid that lie under a map, and the way between paper and cells.

use geo::{Coord, Rect};

use crate::draw::map::{mesh::Mesh, window::Window};
use hillfolio_core::terrain::{self, Grid, Lattice, Raster, coarser};

/// Width of the meshes between paper and cells, mm of paper.
const MESH_MM: f64 = 15.0;

/// Cells beyond the frame that slopes, shades and smooth lines at its edge need.
const MARGIN: f64 = 4.0;

/// Cells drawn smaller than this many millimetres are joined to larger ones.
const FINEST_CELL_MM: f64 = 0.3;

/// The heights under a map, in cells that are worth drawing.
pub(super) fn heights(grid: &Grid, window: &Window) -> Option<Grid> {
    let (block, _) = under(&grid.lattice, window)?;
    let cut = grid.within(&block);
    let cell = window.scale.paper(cut.lattice.cell_metres(cut.lattice.rows / 2).0);
    let times = (FINEST_CELL_MM / cell.max(1e-9)).ceil().clamp(1.0, 10_000.0) as usize;
    Some(if times > 1 { coarser(&cut, times) } else { cut })
}

/// The block of cells that the frame of `window` shows, and where each place on paper lies among the lattice's cells; `None`
/// where none shows, or where the lattice can't be placed.
pub(super) fn under(lattice: &Lattice, window: &Window) -> Option<(terrain::Window, Mesh)> {
    let placing = lattice.placing()?;
    let to_cells = Mesh::over(window.frame, MESH_MM, |place| {
        Some(lattice.in_cells(placing.place(window.position(place))?))
    })?;
    let reach = to_cells.reach();
    let rows = block(reach.min().y, reach.max().y, lattice.rows)?;
    let columns = block(reach.min().x, reach.max().x, lattice.columns)?;
    Some((terrain::Window { rows, columns }, to_cells))
}

/// From places in the coordinates of `lattice` to paper.
pub(super) fn to_paper(lattice: &Lattice, window: &Window) -> Option<Mesh> {
    let placing = lattice.placing()?;
    let ends = [(0, 0), (lattice.rows.checked_sub(1)?, lattice.columns.checked_sub(1)?)];
    let [north_west, south_east] = ends.map(|(row, column)| lattice.centre(row, column));
    let room = Rect::new(north_west, south_east);
    let cell = window.scale.paper(lattice.cell_metres(lattice.rows / 2).0).max(1e-9);
    let widest = (MESH_MM / cell).max(1.0) * lattice.cell_x;
    Mesh::over(room, widest, |place| Some(window.paper(placing.position(place)?)))
}

fn block(low: f64, high: f64, cells: usize) -> Option<std::ops::Range<usize>> {
    let end = cells as f64;
    if high <= 0.0 || low >= end {
        return None;
    }
    let (first, last) = ((low - MARGIN).floor().clamp(0.0, end), (high + MARGIN).ceil().clamp(0.0, end));
    Some(first as usize..last as usize)
}

/// The value at `place`, in cells from the north-west corner: the four centres about it, weighted by how near they are; those
/// without a value are left out.
pub(super) fn sampled(raster: &Raster<f32>, place: Coord<f64>) -> Option<f64> {
    let (x, y) = (place.x - 0.5, place.y - 0.5);
    amid(raster, x, y).or_else(|| at_an_edge(raster, x, y))
}

/// The value between four centres that all have one, as all but a few dots of a map lie: the same as at an edge, without a choice
/// to make at each of them.
#[inline]
fn amid(raster: &Raster<f32>, x: f64, y: f64) -> Option<f64> {
    if x < 0.0 || y < 0.0 {
        return None;
    }
    let (left, top) = (x as usize, y as usize);
    let (east, south) = (x - left as f64, y - top as f64);
    let along = |row| {
        let [one, other] = raster.row(row).get(left..)?.first_chunk()?.map(f64::from);
        Some(one + east * (other - one))
    };
    let (upper, lower) = (along(top)?, along(top + 1)?);
    // One that has no value makes it none.
    Some(upper + south * (lower - upper)).filter(|value| !value.is_nan())
}

/// The value between centres some of which have none or lie outside.
fn at_an_edge(raster: &Raster<f32>, x: f64, y: f64) -> Option<f64> {
    let (left, top) = (below(x), below(y));
    let (east, south) = (x - left, y - top);
    let (mut sum, mut weights) = (0.0, 0.0);
    for (row, part) in [(top, 1.0 - south), (top + 1.0, south)] {
        if row < 0.0 || part <= 0.0 {
            continue;
        }
        let cells = raster.row(row as usize);
        for (column, along) in [(left, 1.0 - east), (left + 1.0, east)] {
            let weight = part * along;
            if column < 0.0 || weight <= 0.0 {
                continue;
            }
            if let Some(value) = cells.get(column as usize).filter(|value| !value.is_nan()) {
                sum += weight * f64::from(*value);
                weights += weight;
            }
        }
    }
    (weights > 0.0).then(|| sum / weights)
}

/// The whole number at or below `number`.
fn below(number: f64) -> f64 {
    let cut = number as i64 as f64;
    if cut > number { cut - 1.0 } else { cut }
}

#[cfg(test)]
mod tests {
    use super::*;
    use hillfolio_core::terrain::Coordinates;

    fn raster(values: &[f32]) -> Raster<f32> {
        let lattice = Lattice {
            west: 0.0,
            north: 2.0,
            cell_x: 1.0,
            cell_y: 1.0,
            rows: 2,
            columns: 2,
            coordinates: Coordinates::Projected { metres_per_unit: 1.0 },
            crs: None,
        };
        Raster { lattice, values: values.to_vec() }
    }

    #[test]
    fn amid_the_ground_a_value_is_what_it_is_at_an_edge() {
        let all = raster(&[3.0, -10.5, 20.0, 31.25]);
        for (x, y) in [(0.0, 0.0), (0.3, 0.8), (0.999, 0.001), (0.5, 0.5)] {
            let (amid, at_an_edge) = (amid(&all, x, y).unwrap(), at_an_edge(&all, x, y).unwrap());
            assert!((amid - at_an_edge).abs() < 1e-12, "{x} {y}: {amid} {at_an_edge}");
        }
        assert_eq!(amid(&all, -0.1, 0.5), None);
        assert_eq!(amid(&all, 1.0, 0.5), None);
    }

    #[test]
    fn between_centres_values_are_mixed_and_unknown_ones_left_out() {
        let all = raster(&[0.0, 10.0, 20.0, 30.0]);
        let at = |raster: &Raster<f32>, x, y| sampled(raster, Coord { x, y });
        assert_eq!(at(&all, 1.0, 1.0), Some(15.0));
        assert_eq!(at(&all, 0.5, 0.5), Some(0.0));
        assert_eq!(at(&raster(&[0.0, f32::NAN, 20.0, f32::NAN]), 1.0, 1.0), Some(10.0));
        assert_eq!(at(&all, 9.0, 9.0), None);
        assert_eq!(at(&raster(&[f32::NAN; 4]), 1.0, 1.0), None);
    }
}
