//! Ground by what a terrain model says of it, as a shape: steeper than a limit, or not in the model at all.

use geo::{Area, Coord, LineString, MultiPolygon, Polygon, unary_union};

use crate::{
    geometry::Plane,
    plan::net::Net,
    terrain::{Grid, height_at},
    units::{Degrees, Metres},
};

/// Knots at most over one shape; beyond them the net is coarser.
const MOST_KNOTS: f64 = 250_000.0;

/// Knots lie no nearer together than this.
const FINEST: Metres = Metres(1.0);

/// The ground about `shape` (on `plane`) whose slope is `limit` or steeper, by the slopes of a terrain model in degrees.
///
/// # Method
/// Slopes at the knots of a net of half the model's cells, between the four centres about each; in each cell of the net the
/// edge of the steep ground runs straight between the places where the slope passes the limit.
#[must_use]
pub fn steep_ground(
    shape: &MultiPolygon<f64>,
    plane: &Plane,
    slope: &Grid,
    limit: Degrees,
) -> MultiPolygon<f64> {
    ground_where(shape, plane, slope, |slope| slope.map_or(f64::NEG_INFINITY, |slope| slope - limit.0))
}

/// The ground about `shape` (on `plane`) of which `heights` know nothing; its edge runs half-way between what is known and what is
/// not. Empty where the model's coordinate reference system is not known: then nothing at all can be told from it.
#[must_use]
pub(crate) fn unknown_ground(shape: &MultiPolygon<f64>, plane: &Plane, heights: &Grid) -> MultiPolygon<f64> {
    ground_where(shape, plane, heights, |height| if height.is_some() { -1.0 } else { 1.0 })
}

/// The ground about `shape` where `wanted` makes of the model's value what is not negative.
fn ground_where(
    shape: &MultiPolygon<f64>,
    plane: &Plane,
    model: &Grid,
    wanted: impl Fn(Option<f64>) -> f64,
) -> MultiPolygon<f64> {
    let Some(placing) = model.lattice.placing() else { return MultiPolygon(Vec::new()) };
    let (width, height) = model.lattice.cell_metres(model.lattice.rows / 2);
    let coarsest = (shape.unsigned_area() / MOST_KNOTS).sqrt();
    let net = Net::over(shape, (width.max(height) / 2.0).max(FINEST.0).max(coarsest));
    let value = |knot: usize| {
        let place = placing.place(plane.position(net.place(knot)));
        wanted(place.and_then(|place| height_at(model, place)))
    };
    let known: Vec<f64> = (0..net.knots()).map(value).collect();
    let mut parts = Vec::new();
    for row in 0..net.rows.saturating_sub(1) {
        let mut run: Option<(usize, usize)> = None;
        for column in 0..net.columns.saturating_sub(1) {
            let at = row * net.columns + column;
            let corners = [at, at + 1, at + net.columns + 1, at + net.columns];
            let values = corners.map(|knot| known[knot]);
            if values.iter().all(|value| *value >= 0.0) {
                run = Some((run.map_or(at, |(from, _)| from), at));
                continue;
            }
            parts.extend(run.take().map(|run| oblong(&net, run)));
            let corners = corners.map(|knot| net.place(knot));
            parts.extend(steep_part(corners, values));
        }
        parts.extend(run.map(|run| oblong(&net, run)));
    }
    unary_union(&parts)
}

/// The cells from one to another of a row, by their south-western knots.
fn oblong(net: &Net, (from, to): (usize, usize)) -> Polygon<f64> {
    let (low, high) = (net.place(from), net.place(to + net.columns + 1));
    geo::Rect::new(low, high).to_polygon()
}

/// The part of a cell whose values are not negative.
fn steep_part(corners: [Coord<f64>; 4], values: [f64; 4]) -> Option<Polygon<f64>> {
    let mut ring = Vec::new();
    for at in 0..4 {
        let next = (at + 1) % 4;
        if values[at] >= 0.0 {
            ring.push(corners[at]);
        }
        if (values[at] >= 0.0) != (values[next] >= 0.0) {
            // Where nothing is known beyond, the edge runs through the knot that is.
            let share = values[at] / (values[at] - values[next]);
            let share = if share.is_finite() { share } else { f64::from(u8::from(values[at] < 0.0)) };
            ring.push(corners[at] + (corners[next] - corners[at]) * share);
        }
    }
    let part = Polygon::new(LineString(ring), vec![]);
    (part.unsigned_area() > 0.0).then_some(part)
}
