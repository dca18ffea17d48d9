//! Neighbours that pull at each other's phase.

use crate::plan::stencil::{Step, Tensor, stencil};

/// A phase as a complex number: cosine and sine.
pub(crate) type Turned = [f64; 2];

pub(crate) fn times(a: Turned, b: Turned) -> Turned {
    [a[0] * b[0] - a[1] * b[1], a[0] * b[1] + a[1] * b[0]]
}

pub(crate) fn unit(angle: f64) -> Turned {
    [libm::cos(angle), libm::sin(angle)]
}

/// The same direction, of length one.
pub(crate) fn normal(a: Turned) -> Turned {
    let length = (a[0] * a[0] + a[1] * a[1]).sqrt();
    if length > 0.0 { [a[0] / length, a[1] / length] } else { [1.0, 0.0] }
}

/// One end of a bond.
struct Pull {
    other: u32,
    weight: f32,
    /// What turns the other's phase into one's own.
    by: [f32; 2],
}

/// Every bond at both its ends, knot by knot.
pub(crate) struct Bonds {
    /// Where each knot's pulls begin; one more at the end.
    first: Vec<usize>,
    pulls: Vec<Pull>,
}

impl Bonds {
    /// Bonds from each knot with a `weight` to those that its stencil names; `way` gives the other knot and the phase asked for
    /// on the way to it.
    pub(crate) fn between(
        knots: usize,
        weight: impl Fn(usize) -> Option<Tensor>,
        way: impl Fn(usize, Step) -> Option<(usize, f64)>,
    ) -> Bonds {
        let mut bonds = Vec::with_capacity(knots * 6);
        for knot in 0..knots {
            let Some(tensor) = weight(knot) else { continue };
            for (step, weight) in stencil(tensor).into_iter().filter(|(_, weight)| *weight > 0.0) {
                for step in [step, (-step.0, -step.1)] {
                    if let Some((other, turn)) = way(knot, step) {
                        bonds.push((knot, other, weight as f32, turn));
                    }
                }
            }
        }
        let mut first = vec![0; knots + 1];
        for (one, other, ..) in &bonds {
            first[one + 1] += 1;
            first[other + 1] += 1;
        }
        let mut sum = 0;
        for place in &mut first {
            sum += *place;
            *place = sum;
        }
        let mut next = first.clone();
        let mut pulls: Vec<Pull> =
            (0..2 * bonds.len()).map(|_| Pull { other: 0, weight: 0.0, by: [1.0, 0.0] }).collect();
        for (one, other, weight, turn) in bonds {
            let [cos, sin] = unit(turn).map(|part| part as f32);
            for (end, from, by) in [(one, other, [cos, -sin]), (other, one, [cos, sin])] {
                pulls[next[end]] = Pull { other: from as u32, weight, by };
                next[end] += 1;
            }
        }
        Bonds { first, pulls }
    }

    /// Gives every knot, in order, what `become` makes of its own phase and the mean of its neighbours'.
    pub(crate) fn average(&self, turned: &mut [Turned], become_of: impl Fn(Turned, Turned) -> Turned) {
        for knot in 0..turned.len() {
            let pulls = &self.pulls[self.first[knot]..self.first[knot + 1]];
            let (mut sum, mut all) = ([0.0, 0.0], 0.0);
            for pull in pulls {
                let weight = f64::from(pull.weight);
                let [re, im] = times(turned[pull.other as usize], pull.by.map(f64::from));
                sum = [sum[0] + weight * re, sum[1] + weight * im];
                all += weight;
            }
            if all > 0.0 {
                turned[knot] = become_of(turned[knot], [sum[0] / all, sum[1] / all]);
            }
        }
    }
}
