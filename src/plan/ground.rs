//! The ground of a terrain model, brought onto the plane of an area.

use geo::{BoundingRect, Coord, MultiPolygon};

use crate::{
    geometry::Plane,
    plan::surface::Surface,
    terrain::{Grid, height_at},
    units::Metres,
};

/// Ground forms smaller than about this many spacings don't show in a row: four metres apart, rows are set out by pegs ten
/// metres apart, and a row that followed every tussock could be neither mown along nor held apart from the next.
///
/// Common practice has pegs every 10 to 20 m (no source).
const FORMS: f64 = 2.5;

/// Heights are taken this far beyond the ground to be planted, in spacings: what is laid out beyond its edge and what is
/// smoothed need them.
const MARGIN: f64 = 12.0;

/// Knots of the net lie this share of a spacing apart where the terrain model is finer.
const FINEST: f64 = 0.5;

/// The ground about `shape` (on `plane`) by the heights of `grid`, smoothed for rows `spacing` apart; `None` where the grid's
/// coordinate reference system is not known or no height lies about the shape.
#[must_use]
pub fn ground_about(
    shape: &MultiPolygon<f64>,
    plane: &Plane,
    grid: &Grid,
    Metres(spacing): Metres,
) -> Option<Surface> {
    let placing = grid.lattice.placing()?;
    let bounds = shape.bounding_rect()?;
    let (width, height) = grid.lattice.cell_metres(grid.lattice.rows / 2);
    let step = width.max(height).max(FINEST * spacing);
    let beyond = Coord { x: 1.0, y: 1.0 } * (MARGIN * spacing + 3.0 * step);
    let corners = (bounds.min() - beyond, bounds.max() + beyond);
    let at = |place: Coord<f64>| height_at(grid, placing.place(plane.position(place))?);
    let surface = Surface::over(corners, Metres(step), at);
    surface.known().then(|| surface.smoothed(Metres(FORMS * spacing)))
}
