//! The ground of a terrain model, brought onto the plane of an area.

use geo::{BoundingRect, Coord, MultiPolygon, Rect};

use crate::{
    geometry::Plane,
    plan::{
        heights::{Heights, rounding},
        surface::Surface,
    },
    terrain::Grid,
    units::Metres,
};

/// Ground forms smaller than about this many spacings don't show in a row: a row that followed every tussock could be neither
/// mown along nor held apart from the next. Found by trial on the reference terrains: with more, rows stray further from the
/// level on the ground as it was measured, with less their spacing does.
const FORMS: f64 = 0.5;

/// Where heights are rounded, the smoothing is sought to within this share of itself.
const NEAR_ENOUGH: f64 = 0.03;

/// Heights are never smoothed over more than this many spacings.
const WIDEST: f64 = 5.0;

/// Heights are taken this far beyond the ground to be planted, in spacings: what is laid out beyond its edge and what is
/// smoothed need them.
const MARGIN: f64 = 10.0;

/// Knots lie this share of a spacing apart.
const STEP: f64 = 0.5;

/// The ground about `shape` (on `plane`) by the heights of `grid`, smoothed for rows `spacing` apart; `None` where the grid's
/// coordinate reference system is not known or no height lies about the shape.
///
/// # Method
/// Heights between the model's own by cubic convolution, then a Gaussian. Its standard deviation is half a spacing; where heights
/// are rounded to a step q it is as much more as changes them by the standard error of rounding, q / √12, and no more: so the
/// steps that rounding made go, and the ground's own forms stay.
///
/// # Reference
/// Morozov (1966), *On the solution of functional equations by the method of regularization*, Soviet Mathematics Doklady 7:414-417,
/// for smoothing until what is smoothed away equals the error of the data (from memory).
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
    surface.known().then(|| {
        let least = Metres(FORMS * spacing);
        smoothed_to(surface, rounding(grid) / f64::sqrt(12.0), (least, Metres(WIDEST * spacing)))
    })
}

/// `surface` smoothed by the first of two radii, or by as much more as changes its heights by `error`, up to the second.
fn smoothed_to(surface: Surface, error: f64, (least, most): (Metres, Metres)) -> Surface {
    let changed = |radius: f64| {
        let smooth = surface.clone().smoothed(Metres(radius));
        (smooth.change_from(&surface) <= error).then_some(smooth)
    };
    let (mut low, mut high) = (least.0, most.0);
    let mut best = surface.clone().smoothed(least);
    while error > 0.0 && high - low > NEAR_ENOUGH * low {
        let middle = f64::midpoint(low, high);
        match changed(middle) {
            Some(smooth) => (best, low) = (smooth, middle),
            None => high = middle,
        }
    }
    best
}
