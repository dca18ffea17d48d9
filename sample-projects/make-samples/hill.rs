//! An invented hillside: spurs and gullies over which boundaries, fences and plots are laid along the contour.

use std::f64::consts::TAU;

use super::dice::Dice;

/// A place on the hill: metres along the contour, metres up the slope (both on the plan).
pub(crate) type Spot = (f64, f64);

/// A hillside whose contours bend round spurs and gullies.
pub(crate) struct Hill {
    longitude: f64,
    latitude: f64,
    east_per_along: f64,
    north_per_along: f64,
    metres_per_degree: (f64, f64),
    bends: Vec<Bend>,
    /// Height at the foot, metres.
    foot: f64,
    /// Rise over run everywhere, and what the middle adds to it.
    steepness: (f64, f64),
}

/// So many of the bends are broad enough to show in the terrain.
const BROAD: usize = 2;

struct Bend {
    metres: f64,
    every: f64,
    phase: f64,
    drift: f64,
}

impl Hill {
    /// A hill with its foot at `longitude`, `latitude`, facing away from `uphill` (degrees clockwise from north).
    pub(crate) fn new(name: &str, longitude: f64, latitude: f64, uphill: f64) -> Hill {
        let mut dice = Dice::new(name);
        let bends = [(26.0, 148.0), (11.0, 57.0), (4.5, 23.0), (1.8, 9.0)]
            .map(|(metres, every)| Bend {
                metres: metres * dice.between(0.8, 1.2),
                every: every * dice.between(0.9, 1.1),
                phase: dice.between(0.0, TAU),
                drift: dice.between(-0.006, 0.006),
            })
            .into();
        let (turn, phi) = (uphill.to_radians(), latitude.to_radians());
        Hill {
            longitude,
            latitude,
            east_per_along: libm::cos(turn),
            north_per_along: -libm::sin(turn),
            // Metres of a degree on the ellipsoid, by the usual series; a sample needs no better.
            metres_per_degree: (
                111_412.84 * libm::cos(phi) - 93.5 * libm::cos(3.0 * phi),
                111_132.95 - 559.82 * libm::cos(2.0 * phi) + 1.18 * libm::cos(4.0 * phi),
            ),
            bends,
            foot: 412.0,
            steepness: (0.10, 0.32),
        }
    }

    /// Metres east and north of the foot of the hill.
    fn plane(&self, (along, up): Spot) -> (f64, f64) {
        let calm = 1.0 - up / 900.0;
        let bend =
            |bend: &Bend| bend.metres * libm::sin(along / bend.every * 3.2 + bend.phase + up * bend.drift);
        let up = up + calm * self.bends.iter().map(bend).sum::<f64>();
        (
            along * self.east_per_along - up * self.north_per_along,
            along * self.north_per_along + up * self.east_per_along,
        )
    }

    /// The spot at a position; only the broad bends, for terrain is smoother than a fence line.
    pub(crate) fn spot(&self, (longitude, latitude): (f64, f64)) -> Spot {
        let east = (longitude - self.longitude) * self.metres_per_degree.0;
        let north = (latitude - self.latitude) * self.metres_per_degree.1;
        let along = east * self.east_per_along + north * self.north_per_along;
        let risen = north * self.east_per_along - east * self.north_per_along;
        let mut up = risen;
        // Drift makes a bend hang on the height; a few rounds settle it.
        for _ in 0..12 {
            let calm = 1.0 - up / 900.0;
            let bend = |bend: &Bend| {
                bend.metres * libm::sin(along / bend.every * 3.2 + bend.phase + up * bend.drift)
            };
            up = risen - calm * self.bends.iter().take(BROAD).map(bend).sum::<f64>();
        }
        (along, up)
    }

    /// Height of the ground at a spot, metres: a concave foot, a steep middle, a crest that levels out, one gully.
    pub(crate) fn height(&self, (along, up): Spot) -> f64 {
        let rise = self.steepness.0 * up + self.steepness.1 * 70.0 * libm::tanh((up - 75.0) / 70.0);
        let tilt = 0.045 * self.steepness.0 * along;
        let deep = 1.0 - libm::exp(-(up + 90.0).max(0.0) / 70.0);
        let gully = -7.0 * deep * libm::exp(-((along - 336.0) / 20.0).powi(2));
        let rough = 0.35 * libm::sin(along / 17.0 + libm::cos(up / 29.0)) * libm::sin(up / 21.0);
        self.foot + rise + tilt + gully + rough
    }

    /// Longitude and latitude, degrees.
    pub(crate) fn position(&self, spot: Spot) -> (f64, f64) {
        let (east, north) = self.plane(spot);
        (self.longitude + east / self.metres_per_degree.0, self.latitude + north / self.metres_per_degree.1)
    }

    /// The bearing from one spot to another, degrees clockwise from north.
    pub(crate) fn bearing(&self, from: Spot, to: Spot) -> f64 {
        let ((east, north), (to_east, to_north)) = (self.plane(from), self.plane(to));
        libm::atan2(to_east - east, to_north - north).to_degrees().rem_euclid(360.0)
    }

    /// A line along the contour at `up`, from `from` to `to`, with a corner every `step` metres.
    pub(crate) fn contour(&self, up: f64, from: f64, to: f64, step: f64) -> Vec<Spot> {
        let steps = ((to - from).abs() / step).ceil().max(1.0) as u32;
        (0..=steps).map(|n| (from + (to - from) * f64::from(n) / f64::from(steps), up)).collect()
    }

    /// A block of ground between two contours, its corners a little uneven; closed, outer way round.
    pub(crate) fn block(&self, name: &str, from: Spot, to: Spot, lean: f64) -> Vec<Spot> {
        let mut dice = Dice::new(name);
        let ((left, low), (right, high)) = (from, to);
        let step = ((right - left) / 15.0).max(4.0);
        let side = |from: f64, to: f64, x: f64| -> Vec<Spot> {
            (1..5).map(|n| (x, from + (to - from) * f64::from(n) / 5.0)).collect()
        };
        let corners = [
            self.contour(low, left, right, step),
            side(low, high, right),
            self.contour(high, right, left, step),
            side(high, low, left),
        ];
        let uneven = |(along, up): Spot| {
            let leaning = along + lean * (up - low);
            (leaning + dice.between(-2.5, 2.5), up + dice.between(-2.0, 2.0))
        };
        let mut ring: Vec<Spot> = corners.concat().into_iter().map(uneven).collect();
        ring.push(ring[0]);
        ring
    }

    /// Plan hectares inside a ring.
    pub(crate) fn hectares(&self, ring: &[Spot]) -> f64 {
        let corners: Vec<(f64, f64)> = ring.iter().map(|spot| self.plane(*spot)).collect();
        let twice: f64 = corners.windows(2).map(|pair| pair[0].0 * pair[1].1 - pair[1].0 * pair[0].1).sum();
        twice.abs() / 20_000.0
    }
}
