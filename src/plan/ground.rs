//! The ground of a terrain model, brought onto the plane of an area.

use geo::{BoundingRect, Coord, MultiPolygon, Rect};

use crate::{
    geometry::Plane,
    plan::{
        heights::{Heights, rounding},
        spread::GRADE_TOLERANCE,
        surface::Surface,
    },
    terrain::Grid,
    units::Metres,
};

/// Ground forms smaller than about this many spacings don't show in a row: a row that followed every tussock could be neither
/// mown along nor held apart from the next. Found by trial on the reference terrains: with more, rows are smoother and stray
/// further from the level on the ground as it was measured.
const FORMS: f64 = 1.0;

/// The same where heights are rounded so coarsely that rounding alone makes slopes.
const FORMS_ROUNDED: f64 = 2.5;

/// Slopes made by rounding matter from this share of the grade that a row may have.
const ROUNDING_MATTERS: f64 = 0.25;

/// Heights are taken this far beyond the ground to be planted, in spacings: what is laid out beyond its edge and what is
/// smoothed need them.
const MARGIN: f64 = 10.0;

/// Knots lie this share of a spacing apart.
const STEP: f64 = 0.5;

/// The ground about `shape` (on `plane`) by the heights of `grid`, smoothed for rows `spacing` apart; `None` where the grid's
/// coordinate reference system is not known or no height lies about the shape.
///
/// # Method
/// Heights between the model's own by cubic convolution, then a Gaussian whose standard deviation is one spacing. Where the
/// heights are rounded to a step q and their cells are c wide, slopes have a standard error of q / √12 × √2 / 2c from rounding
/// alone; where that is a quarter of the grade that a row may have, two and a half spacings.
#[must_use]
pub fn ground_about(
    shape: &MultiPolygon<f64>,
    plane: &Plane,
    grid: &Grid,
    Metres(spacing): Metres,
) -> Option<Surface> {
    let bounds = shape.bounding_rect()?;
    let beyond = Coord { x: 1.0, y: 1.0 } * (MARGIN * spacing);
    let bounds = Rect::new(bounds.min() - beyond, bounds.max() + beyond);
    let heights = Heights::within(grid, plane, bounds)?;
    let corners = (bounds.min(), bounds.max());
    let surface = Surface::over(corners, Metres(STEP * spacing), |place| heights.at(place));
    let (width, _) = grid.lattice.cell_metres(grid.lattice.rows / 2);
    let error = rounding(grid) / f64::sqrt(24.0) / width;
    let forms = if error > ROUNDING_MATTERS * GRADE_TOLERANCE { FORMS_ROUNDED } else { FORMS };
    surface.known().then(|| surface.smoothed(Metres(forms * spacing)))
}
