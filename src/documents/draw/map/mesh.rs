//! A smooth way from one plane to another, worked out exactly at the knots of a net and straight between them.
//!
//! Between paper and the coordinates of a grid lie a geodesic and a projection. Over a centimetre or two of paper the two
//! together bend by less than a hair, so that a picture of a million dots needs them only a hundred times.

use geo::{Coord, Rect};

/// The net over an oblong, and where each of its knots goes.
#[derive(Debug, Clone)]
pub(super) struct Mesh {
    corner: Coord<f64>,
    step: (f64, f64),
    columns: usize,
    rows: usize,
    places: Vec<Coord<f64>>,
}

impl Mesh {
    /// A net over `room` whose meshes are no wider than `widest`, knotted where `exact` says; `None` where it can't say for a
    /// knot.
    pub(super) fn over(
        room: Rect<f64>,
        widest: f64,
        exact: impl Fn(Coord<f64>) -> Option<Coord<f64>>,
    ) -> Option<Mesh> {
        let meshes = |length: f64| (length / widest).ceil().clamp(1.0, 2_000.0);
        let (across, down) = (meshes(room.width()), meshes(room.height()));
        let step = (room.width() / across, room.height() / down);
        let (columns, rows) = (across as usize + 1, down as usize + 1);
        let corner = room.min();
        let knots = (0..rows * columns).map(|at| Coord {
            x: corner.x + step.0 * (at % columns) as f64,
            y: corner.y + step.1 * (at / columns) as f64,
        });
        let places: Option<Vec<Coord<f64>>> = knots.map(exact).collect();
        let places = places.filter(|places| places.iter().all(|place| (place.x + place.y).is_finite()))?;
        Some(Mesh { corner, step, columns, rows, places })
    }

    /// Where `place` goes. Beyond the net its outer meshes go on.
    pub(super) fn at(&self, place: Coord<f64>) -> Coord<f64> {
        let (column, east) = mesh((place.x - self.corner.x) / self.step.0, self.columns);
        let (row, south) = mesh((place.y - self.corner.y) / self.step.1, self.rows);
        let knot = |column| self.upright(row, south, column);
        between(knot(column), knot(column + 1), east)
    }

    /// The line of paper at the height `y`, on which every place goes where [`Mesh::at`] says.
    pub(super) fn along(&self, y: f64) -> Along {
        let (row, south) = mesh((y - self.corner.y) / self.step.1, self.rows);
        let places = (0..self.columns).map(|column| self.upright(row, south, column)).collect();
        Along { start: self.corner.x, step: self.step.0, places }
    }

    /// Where a line of knots from north to south lies, `south` of the way from `row` to the next.
    fn upright(&self, row: usize, south: f64, column: usize) -> Coord<f64> {
        let at = row * self.columns + column;
        between(self.places[at], self.places[at + self.columns], south)
    }

    /// The box that holds where the knots go.
    pub(super) fn reach(&self) -> Rect<f64> {
        let first = self.places[0];
        let (low, high) = self.places.iter().fold((first, first), |(low, high), place| {
            (
                Coord { x: low.x.min(place.x), y: low.y.min(place.y) },
                Coord { x: high.x.max(place.x), y: high.y.max(place.y) },
            )
        });
        Rect::new(low, high)
    }
}

/// A line of paper, and where it goes: worked out once for all the dots on it.
#[derive(Debug)]
pub(super) struct Along {
    start: f64,
    step: f64,
    places: Vec<Coord<f64>>,
}

impl Along {
    /// Where the place at `x` on the line goes.
    pub(super) fn at(&self, x: f64) -> Coord<f64> {
        let (column, east) = mesh((x - self.start) / self.step, self.places.len());
        between(self.places[column], self.places[column + 1], east)
    }
}

/// The mesh that `at` lies in, of those between `knots` knots, and how far into it.
fn mesh(at: f64, knots: usize) -> (usize, f64) {
    // A number that is cut to a whole one: rounding down takes a call on processors of some age, and this is done for every dot.
    let first = (at.max(0.0) as usize).min(knots - 2);
    (first, at - first as f64)
}

fn between(one: Coord<f64>, other: Coord<f64>, part: f64) -> Coord<f64> {
    Coord { x: one.x + part * (other.x - one.x), y: one.y + part * (other.y - one.y) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room() -> Rect<f64> {
        Rect::new(Coord { x: 2.0, y: -1.0 }, Coord { x: 12.0, y: 3.0 })
    }

    #[test]
    fn an_even_stretch_is_exact_everywhere_and_beyond() {
        let exact = |place: Coord<f64>| Coord { x: 3.0 * place.x - place.y + 1.0, y: 0.5 * place.y + 7.0 };
        let mesh = Mesh::over(room(), 4.0, |place| Some(exact(place))).unwrap();
        for place in [(2.0, -1.0), (12.0, 3.0), (7.3, 0.4), (-4.0, 9.0)].map(|(x, y)| Coord { x, y }) {
            let (found, wanted) = (mesh.at(place), exact(place));
            assert!((found.x - wanted.x).abs() + (found.y - wanted.y).abs() < 1e-9, "{place:?}");
            assert_eq!(mesh.along(place.y).at(place.x), found);
        }
    }

    #[test]
    fn a_knot_without_a_place_leaves_no_net() {
        let halved = |place: Coord<f64>| (place.x < 8.0).then_some(place);
        assert!(Mesh::over(room(), 4.0, halved).is_none());
    }
}
