//! The phase field whose turns are the rows: one full turn of a phase from each row to the next one below it.
//!
//! # Method
//! Rows that are level and a fixed distance apart would be the level sets of a function that rises by one for every spacing
//! down the slope. Where the slope changes along the contour there is no such function: rows must begin and end. A *phase*,
//! known only up to whole turns, can do what a function can't: it may gain a turn round a point, and there a row ends between
//! two others. The phase is sought that, from knot to knot of a net, turns as nearly as it can by what the ground asks for:
//! 2π in a spacing measured down the slope, nothing along the contour. What it strays by is weighed by what planting can
//! bear, spacing against level. Points where a row ends arise by themselves, as few as the ground needs.
//!
//! A phase is kept as a complex number. On a coarse net it is averaged over its neighbours, each turned by what is asked for
//! on the way, and brought back to length one, by turns: the ends of rows move and cancel. Finer nets take it over.
//!
//! # Reference
//! Knöppel, Crane, Pinkall and Schröder (2015), *Stripe patterns on surfaces*, ACM Transactions on Graphics 34(4):39, for the
//! phase that turns with a wanted field and the ends it makes; Merriman, Bence and Osher (1992), *Diffusion generated motion
//! by mean curvature*, UCLA CAM report 92-18, for averaging and bringing back by turns.

use std::{collections::VecDeque, f64::consts::TAU, iter, mem};

use geo::{Coord, MultiPolygon};

use crate::plan::{
    bonds::{Bonds, Turned, normal, times, unit},
    net::Net,
    phase_lines::PhaseField,
    spread::{GRADE_TOLERANCE, SPACING_TOLERANCE},
    stencil::Tensor,
    surface::{LocalSlope, Surface},
};

/// How much heavier straying from the level weighs than the tolerances alone would have it: below one, since rows on
/// rough ground stray further in spacing than in grade. Found by trial on the reference terrains.
const LEVEL_AGAINST_SPACING: f64 = 0.65;

/// The weight of level against that of spacing is held between these: on the gentlest ground any direction is level, and on
/// the steepest a row must still be able to end.
const WEIGHTS: (f64, f64) = (0.5, 12.0);

/// Rise over run at which the way down can be told half as well as on a hillside: about 1°.
const FAINT: f64 = 0.02;

/// What is left of the weight on level ground, where every direction will do.
const LEVEL_GROUND: f64 = 0.01;

/// The nets, coarsest first: knots apart as a share of the spacing, rounds, averagings in a round, last averagings.
const NETS: [(f64, usize, usize, usize); 3] = [(2.0, 40, 10, 30), (1.0, 10, 5, 20), (0.5, 4, 5, 30)];

/// More than this makes the last averagings, which keep their length, settle sooner.
const EAGER: f64 = 1.6;

/// What the ground asks for at a knot.
#[derive(Debug, Clone, Copy)]
struct Wanted {
    /// Radians of phase per metre of plan, along x and y.
    turn: Coord<f64>,
    /// How much straying matters, by direction.
    weight: Tensor,
}

impl Wanted {
    fn of(lie: LocalSlope, spacing: f64) -> Wanted {
        let down = lie.down().unwrap_or(Coord { x: 0.0, y: -1.0 });
        let steepness = lie.steepness();
        let level = LEVEL_AGAINST_SPACING * SPACING_TOLERANCE * steepness / GRADE_TOLERANCE;
        let level = (level * level).clamp(WEIGHTS.0, WEIGHTS.1);
        let steep = steepness * steepness;
        let trust = LEVEL_GROUND + steep / (steep + FAINT * FAINT);
        let weight = Tensor {
            xx: trust * (down.x * down.x + level * down.y * down.y),
            xy: trust * (1.0 - level) * down.x * down.y,
            yy: trust * (down.y * down.y + level * down.x * down.x),
        };
        Wanted { turn: down * (TAU / spacing * lie.stretch()), weight }
    }

    /// Phase that is asked for over `way`, between a knot and another.
    fn between(&self, other: &Wanted, way: Coord<f64>) -> f64 {
        0.5 * ((self.turn.x + other.turn.x) * way.x + (self.turn.y + other.turn.y) * way.y)
    }
}

/// A phase at the knots of a net.
pub(crate) struct Phase {
    net: Net,
    wanted: Vec<Option<Wanted>>,
    turned: Vec<Turned>,
}

impl Phase {
    /// The phase over `shape` whose turns lie `spacing` metres apart down the slope of `ground`.
    pub(crate) fn over(shape: &MultiPolygon<f64>, ground: &Surface, spacing: f64) -> Phase {
        let mut phase = Phase { net: Net::over(shape, spacing), wanted: Vec::new(), turned: Vec::new() };
        for (at, (share, rounds, averagings, last)) in NETS.into_iter().enumerate() {
            let net = Net::over(shape, spacing * share);
            let wanted = net.inside(shape).into_iter().enumerate().map(|(knot, inside)| {
                let lie = ground.at(net.place(knot)).filter(|_| inside)?;
                Some(Wanted::of(lie, spacing))
            });
            let wanted = wanted.collect();
            let mut finer = Phase { turned: vec![[1.0, 0.0]; net.knots()], net, wanted };
            if at == 0 {
                finer.carry_outward();
            } else {
                finer.take_over(&phase);
            }
            finer.settle(rounds, averagings, last);
            phase = finer;
        }
        phase
    }

    /// Carries the phase from knot to knot, outward from the middle.
    fn carry_outward(&mut self) {
        let middle = self.net.rows / 2 * self.net.columns + self.net.columns / 2;
        let mut seen: Vec<bool> = self.wanted.iter().map(Option::is_none).collect();
        let mut queue = VecDeque::new();
        for seed in iter::once(middle).chain(0..self.net.knots()) {
            if seen.get(seed).is_none_or(|seen| *seen) {
                continue;
            }
            seen[seed] = true;
            queue.push_back(seed);
            while let Some(knot) = queue.pop_front() {
                let near = [(1, 0), (0, 1), (-1, 0), (0, -1)].map(|step| self.net.neighbour(knot, step));
                for other in near.into_iter().flatten() {
                    let (Some(own), Some(theirs)) = (&self.wanted[knot], &self.wanted[other]) else {
                        continue;
                    };
                    if !mem::replace(&mut seen[other], true) {
                        let way = self.net.place(other) - self.net.place(knot);
                        self.turned[other] = times(self.turned[knot], unit(own.between(theirs, way)));
                        queue.push_back(other);
                    }
                }
            }
        }
    }

    /// Takes the phase from the four knots of a coarser net round each knot.
    fn take_over(&mut self, coarse: &Phase) {
        for (knot, wanted) in self.wanted.iter().enumerate() {
            let place = self.net.place(knot);
            let (Some(own), Some((corner, east, north))) = (wanted, coarse.net.cell(place)) else { continue };
            let mut sum = [0.0, 0.0];
            for (right, up) in [(0, 0), (1, 0), (0, 1), (1, 1)] {
                let from = corner + right + up * coarse.net.columns;
                let Some(theirs) = &coarse.wanted[from] else { continue };
                let share = |far: usize, part: f64| if far == 1 { part } else { 1.0 - part };
                let weight = share(right, east) * share(up, north);
                let turn = unit(theirs.between(own, place - coarse.net.place(from)));
                let [re, im] = times(coarse.turned[from], turn);
                sum = [sum[0] + weight * re, sum[1] + weight * im];
            }
            self.turned[knot] = normal(sum);
        }
    }

    fn settle(&mut self, rounds: usize, averagings: usize, last: usize) {
        let bonds = self.bonds();
        for _ in 0..rounds {
            for _ in 0..averagings {
                bonds.average(&mut self.turned, |_, mean| mean);
            }
            self.turned.iter_mut().for_each(|turned| *turned = normal(*turned));
        }
        for _ in 0..last {
            bonds.average(&mut self.turned, |own, mean| {
                let mean = normal(mean);
                normal([own[0] + EAGER * (mean[0] - own[0]), own[1] + EAGER * (mean[1] - own[1])])
            });
        }
    }

    fn bonds(&self) -> Bonds {
        Bonds::between(
            self.net.knots(),
            |knot| self.wanted[knot].map(|wanted| wanted.weight),
            |knot, step| {
                let other = self.net.neighbour(knot, step)?;
                let (own, theirs) = (self.wanted[knot].as_ref()?, self.wanted[other].as_ref()?);
                let way = Coord { x: f64::from(step.0), y: f64::from(step.1) } * self.net.step;
                Some((other, own.between(theirs, way)))
            },
        )
    }
}

impl PhaseField for Phase {
    fn net(&self) -> &Net {
        &self.net
    }

    fn angle(&self, knot: usize) -> f64 {
        libm::atan2(self.turned[knot][1], self.turned[knot][0])
    }

    /// Of all gains that differ by whole turns, the nearest to what is asked for.
    fn gain(&self, from: usize, to: usize) -> Option<f64> {
        let (one, other) = (self.wanted[from].as_ref()?, self.wanted[to].as_ref()?);
        let asked = one.between(other, self.net.place(to) - self.net.place(from));
        let rest = self.angle(to) - self.angle(from) - asked;
        Some(asked + rest - TAU * (rest / TAU).round())
    }
}
