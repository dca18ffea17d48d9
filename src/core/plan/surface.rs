//! The ground that rows are laid on: heights on a flat plane, smoothed, with the slope at any place.

use geo::{Coord, LineString};

use crate::units::Metres;

/// How the ground lies at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LocalSlope {
    /// Height, m.
    pub height: f64,
    /// Rise over run along x.
    pub dx: f64,
    /// Rise over run along y.
    pub dy: f64,
}

impl LocalSlope {
    /// Rise over run along the fall line: the tangent of the slope.
    #[must_use]
    pub fn steepness(self) -> f64 {
        libm::hypot(self.dx, self.dy)
    }

    /// Metres along the ground for a metre of plan down the fall line: 1 / cos θ.
    #[must_use]
    pub fn stretch(self) -> f64 {
        libm::hypot(1.0, self.steepness())
    }

    /// The way down, of length one on the plane; `None` on level ground.
    #[must_use]
    pub fn down(self) -> Option<Coord<f64>> {
        let steepness = self.steepness();
        (steepness > 0.0).then(|| Coord { x: -self.dx / steepness, y: -self.dy / steepness })
    }
}

/// Heights at the knots of a square net on a plane in metres, and a smooth surface through them.
#[derive(Debug, Clone, PartialEq)]
pub struct Surface {
    /// The south-western knot.
    origin: Coord<f64>,
    /// Between knots, m.
    step: f64,
    columns: usize,
    rows: usize,
    /// Standard deviation of the smoothing, m.
    smoothing: f64,
    /// Row by row, northward; NaN where the ground is not known.
    heights: Vec<f64>,
}

impl Surface {
    /// The surface over `south_west` to `north_east` with knots every `step`, their heights by `height`.
    #[must_use]
    pub fn over(
        (south_west, north_east): (Coord<f64>, Coord<f64>),
        Metres(step): Metres,
        height: impl Fn(Coord<f64>) -> Option<f64>,
    ) -> Surface {
        let columns = knots(north_east.x - south_west.x, step);
        let rows = knots(north_east.y - south_west.y, step);
        let place = |knot: usize| Coord {
            x: south_west.x + count(knot % columns) * step,
            y: south_west.y + count(knot / columns) * step,
        };
        let heights = (0..columns * rows).map(|knot| height(place(knot)).unwrap_or(f64::NAN)).collect();
        Surface { origin: south_west, step, columns, rows, smoothing: 0.0, heights }
    }

    /// How widely the heights were smoothed: the standard deviation of the Gaussian.
    #[must_use]
    pub fn smoothing(&self) -> Metres {
        Metres(self.smoothing)
    }

    /// Whether any height is known.
    #[must_use]
    pub fn known(&self) -> bool {
        self.heights.iter().any(|height| !height.is_nan())
    }

    /// The same ground without what is smaller than about `radius`.
    ///
    /// # Method
    /// A Gaussian of standard deviation `radius`, along x and then along y. Beyond an edge or a hole the heights go on as the
    /// point reflection of those before it, so that a plane stays the plane it was.
    #[must_use]
    pub fn smoothed(mut self, Metres(radius): Metres) -> Surface {
        self.smoothing = libm::hypot(self.smoothing, radius);
        let weights = bell(radius / self.step);
        if weights.len() > 1 {
            for row in 0..self.rows {
                self.smooth_line(row * self.columns, 1, self.columns, &weights);
            }
            for column in 0..self.columns {
                self.smooth_line(column, self.columns, self.rows, &weights);
            }
        }
        self
    }

    /// By how much these heights differ from those of another surface over the same knots: the root of the mean square, m.
    #[must_use]
    pub(crate) fn change_from(&self, other: &Surface) -> f64 {
        let known = self.heights.iter().zip(&other.heights).map(|(one, other)| one - other);
        let (sum, count) = known
            .filter(|change| !change.is_nan())
            .fold((0.0, 0.0), |(sum, count), change| (sum + change * change, count + 1.0));
        if count > 0.0 { (sum / count).sqrt() } else { 0.0 }
    }

    fn smooth_line(&mut self, first: usize, stride: usize, length: usize, weights: &[f64]) {
        let line: Vec<f64> = (0..length).map(|at| self.heights[first + at * stride]).collect();
        let mut from = 0;
        while from < length {
            let run = line[from..].iter().take_while(|height| !height.is_nan()).count();
            let known = &line[from..from + run];
            for at in 0..run {
                let pairs = weights.iter().enumerate().skip(1);
                let about = |reach: usize| before(known, at, reach) + after(known, at, reach);
                let sum: f64 = pairs.map(|(reach, weight)| weight * about(reach)).sum();
                self.heights[first + (from + at) * stride] = weights[0] * known[at] + sum;
            }
            from += run.max(1);
        }
    }

    /// How the ground lies at `place`; `None` beyond the second knot from an edge and beside a hole.
    ///
    /// # Method
    /// A uniform cubic B-spline with the heights as its control points: slopes and their change are smooth everywhere.
    ///
    /// # Reference
    /// de Boor (1978), *A Practical Guide to Splines*, chapter IX.
    #[must_use]
    pub fn at(&self, place: Coord<f64>) -> Option<LocalSlope> {
        let (column, u) = whole_and_rest((place.x - self.origin.x) / self.step, self.columns)?;
        let (row, v) = whole_and_rest((place.y - self.origin.y) / self.step, self.rows)?;
        let ((across, rise_across), (along, rise_along)) = (basis(u), basis(v));
        let mut lie = LocalSlope { height: 0.0, dx: 0.0, dy: 0.0 };
        for j in 0..4 {
            let from = (row + j - 1) * self.columns + column - 1;
            let knots = &self.heights[from..from + 4];
            let along_row =
                |weights: &[f64; 4]| -> f64 { weights.iter().zip(knots).map(|(w, z)| w * z).sum() };
            let level = along_row(&across);
            lie.height += along[j] * level;
            lie.dx += along[j] * along_row(&rise_across);
            lie.dy += rise_along[j] * level;
        }
        lie.dx /= self.step;
        lie.dy /= self.step;
        (!lie.height.is_nan()).then_some(lie)
    }
}

impl Surface {
    /// Length of `line` along the ground; where the ground is not known, in plan.
    ///
    /// # Method
    /// Chords between places at most a knot's distance apart.
    #[must_use]
    pub fn length(&self, line: &LineString<f64>) -> Metres {
        let length = |edge: geo::Line<f64>| -> f64 {
            let way = edge.delta();
            let plan = libm::hypot(way.x, way.y);
            let pieces = (plan / self.step).ceil().max(1.0);
            let height =
                |piece: u32| self.at(edge.start + way * (f64::from(piece) / pieces)).map(|lie| lie.height);
            let chords = (0..pieces as u32).map(|piece| {
                let rise = height(piece + 1).zip(height(piece)).map_or(0.0, |(one, other)| one - other);
                libm::hypot(plan / pieces, rise)
            });
            chords.sum()
        };
        Metres(line.lines().map(length).sum())
    }
}

/// Weights of a Gaussian of `deviation` knots from the middle outward; both sides together add up to one.
fn bell(deviation: f64) -> Vec<f64> {
    if deviation.is_nan() || deviation <= 0.1 {
        return vec![1.0];
    }
    let reach = knots(3.0 * deviation, 1.0);
    let weight = |at: usize| libm::exp(-0.5 * (count(at) / deviation) * (count(at) / deviation));
    let weights: Vec<f64> = (0..=reach).map(weight).collect();
    let sum = 2.0 * weights.iter().sum::<f64>() - weights[0];
    weights.into_iter().map(|weight| weight / sum).collect()
}

/// The height `reach` knots before `at`, point-reflected at the beginning.
fn before(known: &[f64], at: usize, reach: usize) -> f64 {
    match at.checked_sub(reach) {
        Some(inside) => known[inside],
        None => 2.0 * known[0] - known[(reach - at).min(known.len() - 1)],
    }
}

/// The height `reach` knots after `at`, point-reflected at the end.
fn after(known: &[f64], at: usize, reach: usize) -> f64 {
    let last = known.len() - 1;
    match known.get(at + reach) {
        Some(inside) => *inside,
        None => 2.0 * known[last] - known[last.saturating_sub(at + reach - last)],
    }
}

/// Weights of the uniform cubic B-spline at `t` and their derivatives.
fn basis(t: f64) -> ([f64; 4], [f64; 4]) {
    let s = 1.0 - t;
    let value = [
        s * s * s / 6.0,
        (3.0 * t * t * t - 6.0 * t * t + 4.0) / 6.0,
        (3.0 * s * s * s - 6.0 * s * s + 4.0) / 6.0,
        t * t * t / 6.0,
    ];
    let rise = [-s * s / 2.0, (3.0 * t * t - 4.0 * t) / 2.0, -(3.0 * s * s - 4.0 * s) / 2.0, t * t / 2.0];
    (value, rise)
}

/// The knot before `place` and the rest, where two knots lie on either side.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held within the net first")]
fn whole_and_rest(place: f64, knots: usize) -> Option<(usize, f64)> {
    if !(place >= 1.0 && place < count(knots) - 2.0) {
        return None;
    }
    let whole = place.floor();
    Some((whole as usize, place - whole))
}

/// Knots that cover `length`, both ends included.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "lengths on a site in metres")]
fn knots(length: f64, step: f64) -> usize {
    (length / step).ceil().max(0.0) as usize + 1
}

#[allow(clippy::cast_precision_loss, reason = "no net has 2^53 knots")]
fn count(number: usize) -> f64 {
    number as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plane(east: f64, north: f64) -> Surface {
        let corner = Coord { x: 40.0, y: 30.0 };
        Surface::over((-corner, corner), Metres(2.0), |at| Some(100.0 + east * at.x + north * at.y))
    }

    /// Smoothing and the spline keep a plane as it was, up to its edges and round a hole.
    #[test]
    fn a_plane_stays_a_plane() {
        let mut holed = plane(0.3, -0.4);
        let hole = 15 * holed.columns + 20;
        holed.heights[hole] = f64::NAN;
        for surface in [plane(0.3, -0.4), plane(0.3, -0.4).smoothed(Metres(7.0)), holed.smoothed(Metres(7.0))]
        {
            for (x, y) in [(0.3, 13.9), (-37.9, 27.9), (35.9, -27.9), (12.3, 9.1)] {
                let lie = surface.at(Coord { x, y }).unwrap();
                assert!((lie.height - (100.0 + 0.3 * x - 0.4 * y)).abs() < 1e-9, "{lie:?}");
                assert!((lie.dx - 0.3).abs() < 1e-9 && (lie.dy + 0.4).abs() < 1e-9, "{lie:?}");
            }
        }
    }

    #[test]
    fn beyond_the_edge_and_in_a_hole_nothing_is_known() {
        let mut surface = plane(0.1, 0.0);
        let middle = 15 * surface.columns + 20;
        surface.heights[middle] = f64::NAN;
        for (x, y) in [(0.0, 0.0), (39.0, 0.0), (0.0, 31.0), (f64::NAN, 0.0)] {
            assert_eq!(surface.at(Coord { x, y }), None);
        }
    }

    /// By hand: 30 m of plan down a slope of 3 in 4 are 37.5 m of ground.
    #[test]
    fn a_length_down_the_slope_is_longer_than_its_plan() {
        let down = LineString::from(vec![(-15.0, 0.0), (15.0, 0.0)]);
        let along = LineString::from(vec![(0.0, -15.0), (0.0, 15.0)]);
        assert!((plane(0.75, 0.0).length(&down).0 - 37.5).abs() < 1e-9);
        assert!((plane(0.75, 0.0).length(&along).0 - 30.0).abs() < 1e-9);
    }

    /// The slope that the spline tells is the slope between its heights.
    #[test]
    fn slopes_are_those_of_the_heights() {
        let corner = Coord { x: 60.0, y: 60.0 };
        let bowl =
            |at: Coord<f64>| Some(0.004 * at.x * at.x + 0.002 * at.x * at.y + 3.0 * libm::sin(at.y / 9.0));
        let surface = Surface::over((-corner, corner), Metres(3.0), bowl).smoothed(Metres(4.0));
        for (x, y) in [(1.7, 20.2), (-33.1, 8.8), (12.0, -41.5)] {
            let height = |x: f64, y: f64| surface.at(Coord { x, y }).unwrap().height;
            let lie = surface.at(Coord { x, y }).unwrap();
            let dx = (height(x + 1e-4, y) - height(x - 1e-4, y)) / 2e-4;
            let dy = (height(x, y + 1e-4) - height(x, y - 1e-4)) / 2e-4;
            assert!((lie.dx - dx).abs() < 1e-6 && (lie.dy - dy).abs() < 1e-6, "{lie:?} {dx} {dy}");
        }
    }
}
