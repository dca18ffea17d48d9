//! A square net of knots over a shape on a plane in metres.

use geo::{BoundingRect, Coord, MultiPolygon};

/// A square net, knots counted row by row northward from the south-western one.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Net {
    pub(crate) origin: Coord<f64>,
    /// Between knots, m.
    pub(crate) step: f64,
    pub(crate) columns: usize,
    pub(crate) rows: usize,
}

impl Net {
    /// The net over `shape`; of no knots where the shape has no extent.
    pub(crate) fn over(shape: &MultiPolygon<f64>, step: f64) -> Net {
        let Some(bounds) = shape.bounding_rect() else {
            return Net { origin: Coord::zero(), step, columns: 0, rows: 0 };
        };
        let knots = |length: f64| (length / step).ceil() as usize + 1;
        Net { origin: bounds.min(), step, columns: knots(bounds.width()), rows: knots(bounds.height()) }
    }

    pub(crate) fn knots(&self) -> usize {
        self.columns * self.rows
    }

    pub(crate) fn place(&self, knot: usize) -> Coord<f64> {
        let (column, row) = (knot % self.columns, knot / self.columns);
        self.origin + Coord { x: column as f64, y: row as f64 } * self.step
    }

    /// The knot so many steps right of `knot` and above it.
    pub(crate) fn neighbour(&self, knot: usize, (right, up): (i32, i32)) -> Option<usize> {
        let column = (knot % self.columns).checked_add_signed(right as isize)?;
        let row = (knot / self.columns).checked_add_signed(up as isize)?;
        (column < self.columns && row < self.rows).then_some(row * self.columns + column)
    }

    /// The knot south-west of `place`, and the shares of the way to the next column and row.
    pub(crate) fn cell(&self, place: Coord<f64>) -> Option<(usize, f64, f64)> {
        let at = (place - self.origin) / self.step;
        let (column, row) = (at.x.floor(), at.y.floor());
        let inside = |whole: f64, knots: usize| whole >= 0.0 && whole + 1.0 < knots as f64;
        (inside(column, self.columns) && inside(row, self.rows))
            .then(|| (row as usize * self.columns + column as usize, at.x - column, at.y - row))
    }

    /// Which knots lie inside `shape`: along each row of the net between its edges, by pairs.
    pub(crate) fn inside(&self, shape: &MultiPolygon<f64>) -> Vec<bool> {
        let mut cuts: Vec<Vec<f64>> = vec![Vec::new(); self.rows];
        let rings =
            shape.iter().flat_map(|polygon| std::iter::once(polygon.exterior()).chain(polygon.interiors()));
        for edge in rings.flat_map(|ring| ring.lines()) {
            let (low, high) =
                if edge.start.y < edge.end.y { (edge.start, edge.end) } else { (edge.end, edge.start) };
            // A knot exactly as high as a corner belongs to the edge above it alone.
            let row = |y: f64| ((y - self.origin.y) / self.step).ceil().clamp(0.0, self.rows as f64) as usize;
            let (first, end) = (row(low.y), row(high.y));
            for (row, cuts) in cuts.iter_mut().enumerate().take(end).skip(first) {
                let y = self.origin.y + row as f64 * self.step;
                cuts.push(low.x + (y - low.y) / (high.y - low.y) * (high.x - low.x));
            }
        }
        let mut inside = vec![false; self.knots()];
        for (row, mut cuts) in cuts.into_iter().enumerate() {
            cuts.sort_by(f64::total_cmp);
            let column =
                |x: f64| ((x - self.origin.x) / self.step).ceil().clamp(0.0, self.columns as f64) as usize;
            for pair in cuts.chunks_exact(2) {
                let (from, to) = (column(pair[0]), column(pair[1]));
                inside[row * self.columns + from..row * self.columns + to].fill(true);
            }
        }
        inside
    }
}

#[cfg(test)]
mod tests {
    use geo::{Contains, LineString, Point, Polygon};

    use super::*;

    #[test]
    fn knots_inside_are_those_that_lie_inside() {
        let ring = |corners: &[(f64, f64)]| LineString::from(corners.to_vec());
        let shape = MultiPolygon(vec![
            Polygon::new(
                ring(&[(0.3, 0.1), (19.7, 3.2), (14.1, 18.3), (2.2, 12.9)]),
                vec![ring(&[(8.1, 6.2), (11.3, 6.4), (9.7, 9.9)])],
            ),
            Polygon::new(ring(&[(25.1, 2.1), (28.3, 2.2), (26.9, 9.7)]), vec![]),
        ]);
        let net = Net::over(&shape, 0.77);
        let inside = net.inside(&shape);
        for (knot, inside) in inside.into_iter().enumerate() {
            assert_eq!(inside, shape.contains(&Point(net.place(knot))), "{:?}", net.place(knot));
        }
    }
}
