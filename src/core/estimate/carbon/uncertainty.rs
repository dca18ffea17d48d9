//! Errors of sampling, equations, roots, carbon fraction and boundary joined, by draws and in closed form.

use std::sync::LazyLock;

use crate::estimate::{carbon::propagation::of_product, chance::ends, interval::quantile, ratio::count};

/// Draws, spread evenly: another seed moves a limit by well under 1 % of the distance between the two.
pub(crate) const DRAWS: u32 = 16_384;

/// The seed. Any would do; this one never changes, so that a figure can be worked out again.
const SEED: u32 = 0xCA_12B0;

/// The normal numbers behind sampling, equations, roots, carbon fraction and area, draw by draw: every figure is drawn with the same.
static NORMALS: LazyLock<Vec<[f64; 5]>> = LazyLock::new(|| normals(SEED));

/// Points spread evenly over the unit cube, as normal numbers: means over them settle far faster than those of independent draws.
///
/// # Reference
/// Sobol' (1967), *USSR Computational Mathematics and Mathematical Physics* 7:86-112; Owen (1998), *Journal of Complexity* 14:466-489
/// (scrambling), by the library `sobol_burley`.
fn normals(seed: u32) -> Vec<[f64; 5]> {
    let draw = |number| [0, 1, 2, 3, 4].map(|place| f64::from(sobol_burley::sample(number, place, seed)));
    // A point stands for the cell above it, so that none lies on the edge.
    let inside = |part: f64| quantile::normal(part + f64::from(f32::EPSILON) / 4.0);
    (0..DRAWS).map(|number| draw(number).map(inside)).collect()
}

/// Variance of the mass of plots beside its squared mean, before the plots have spoken; worth one degree of freedom (by simulation).
const USUAL_SPREAD: f64 = 0.6;

/// The largest logarithm by which a draw may leave the mean: a number must come out, however few the plots.
const MOST_SKEW: f64 = 20.0;

/// An uncertain mass and what makes it so.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parts {
    /// Dry mass on a hectare, t/ha.
    pub mean: f64,
    /// Its standard error by sampling, t/ha.
    pub error: f64,
    /// Degrees of freedom of that error.
    pub df: f64,
    /// Relative error of the equations.
    pub model: f64,
    /// Relative error that the roots bring to the whole.
    pub roots: f64,
    /// Relative error of the carbon fraction.
    pub fraction: f64,
    /// Relative error of the plan area; 0 for a figure of one hectare.
    pub area: f64,
    /// Whether the mass may be less than nothing, because it is a change.
    pub signed: bool,
}

/// What the draws say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joint {
    /// Lower limit, in the unit of the mean.
    pub low: f64,
    /// Upper limit.
    pub high: f64,
    /// Standard deviation of the draws over their mean.
    pub relative: f64,
}

impl Parts {
    /// Relative error of sampling alone.
    #[must_use]
    pub fn sampling(&self) -> f64 {
        if self.mean == 0.0 { 0.0 } else { (self.error / self.mean).abs() }
    }

    /// Relative standard error of the whole in closed form: the parts are taken to be independent and small.
    #[must_use]
    pub fn closed_form(&self) -> f64 {
        of_product(&[self.sampling(), self.model, self.roots, self.fraction, self.area])
    }

    /// Standard deviation of the logarithm of the mean by sampling, and its degrees of freedom: those of the survey, and one for what is
    /// usual; `None` for a change, and where the error is known.
    fn skew(&self) -> Option<(f64, f64)> {
        if self.signed || self.mean <= 0.0 || self.df > 1e6 {
            return None;
        }
        let (plots, relative) = (self.df + 1.0, self.sampling());
        let joint = (USUAL_SPREAD / plots + self.df * relative * relative) / plots;
        Some((libm::log(1.0 + joint).sqrt(), plots))
    }

    /// The limits that hold `confidence` of 16,384 draws with a fixed seed.
    ///
    /// # Method
    /// The mean is drawn as m exp(σ t), σ² = ln(1 + v/m²), v = (0.6 m²/(ν + 1) + ν s²)/(ν + 1), s the standard error of the survey with ν
    /// degrees of freedom and t Student's with ν + 1: a few large trees make the mass of plots skew, and few plots show badly how much they
    /// differ. A change, and a mean whose error is known, is drawn as m + t s, t with ν. The equations' error as a log-normal factor of mean 1; roots, carbon fraction and area as normal factors cut
    /// at three deviations.
    /// # Reference
    /// IPCC (2006), *Guidelines for National Greenhouse Gas Inventories*, volume 1, chapter 3, approach 2.
    #[must_use]
    pub fn drawn(&self, confidence: f64) -> Joint {
        self.drawn_with(&NORMALS, confidence)
    }

    fn drawn_with(&self, normals: &[[f64; 5]], confidence: f64) -> Joint {
        let skew = self.skew();
        let student = Student::of(skew.map_or(self.df, |(_, df)| df));
        let spread = libm::log(1.0 + self.model * self.model).sqrt();
        let factor = |relative: f64, normal: f64| 1.0 + relative * normal.clamp(-3.0, 3.0);
        let one = |[sample, model, roots, fraction, area]: &[f64; 5]| {
            let mass = match skew {
                Some((sigma, _)) => self.mean * libm::exp((sigma * student.at(*sample)).min(MOST_SKEW)),
                None if self.signed => self.mean + self.error * student.at(*sample),
                None => (self.mean + self.error * student.at(*sample)).max(0.0),
            };
            mass * libm::exp(spread * model - spread * spread / 2.0)
                * factor(self.roots, *roots)
                * factor(self.fraction, *fraction)
                * factor(self.area, *area)
        };
        let draws: Vec<f64> = normals.iter().map(one).collect();
        let n = count(draws.len());
        let mean = draws.iter().sum::<f64>() / n;
        let variance = draws.iter().map(|draw| (draw - mean) * (draw - mean)).sum::<f64>() / n;
        let limits = ends(draws, confidence);
        Joint { low: limits.low, high: limits.high, relative: variance.sqrt() / mean.abs() }
    }
}

/// Student's t as a function of a standard normal number, kept as a table: its quantile is too slow for every draw.
struct Student {
    quantiles: Vec<f64>,
}

/// The table runs from this many deviations below nought to as many above.
const REACH: f64 = 4.5;

/// Entries of the table to a deviation.
const STEPS: f64 = 16.0;

impl Student {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a table of 145 entries")]
    fn of(df: f64) -> Student {
        let half = (REACH * STEPS) as usize;
        let quantile = |entry: usize| {
            let normal = count(entry) / STEPS;
            if df > 1e6 {
                normal
            } else {
                quantile::student(libm::erfc(-normal / std::f64::consts::SQRT_2) / 2.0, df)
            }
        };
        // The other half is the same with its sign turned.
        let upper: Vec<f64> = (0..=half).map(quantile).collect();
        let lower = upper.iter().skip(1).rev().map(|quantile| -quantile);
        Student { quantiles: lower.chain(upper.iter().copied()).collect() }
    }

    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the table")]
    fn at(&self, normal: f64) -> f64 {
        let place = ((normal + REACH) * STEPS).clamp(0.0, count(self.quantiles.len() - 1));
        let below = place.floor() as usize;
        let value =
            |entry: usize| self.quantiles.get(entry).or(self.quantiles.last()).copied().unwrap_or_default();
        value(below) + (place - place.floor()) * (value(below + 1) - value(below))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Printed tables: t(5) at 95 % is 2.015 and at 97.5 % 2.571, where the normal has 1.644 854 and 1.959 964.
    #[test]
    fn the_table_gives_students_quantiles() {
        let student = Student::of(5.0);
        assert!((student.at(1.644_854) - 2.015).abs() < 1e-3);
        assert!((student.at(-1.959_964) + 2.571).abs() < 1e-3);
    }

    /// The relative variance of a product of independent factors is exactly Π (1 + u²) − 1 (Goodman 1960, *Journal of the American
    /// Statistical Association* 55:708-713). Draws must meet it within three of their own standard errors: a standard deviation of n
    /// independent draws is known to 1/√(2n) of itself, 0.6 % here.
    #[test]
    fn draws_meet_the_exact_variance_of_a_product() {
        for (error, model, roots) in [(1.0, 0.04, 0.02), (2.0, 0.06, 0.03), (4.0, 0.13, 0.05)] {
            let parts = Parts {
                mean: 40.0,
                error,
                df: f64::INFINITY,
                model,
                roots,
                fraction: 0.027,
                area: 0.01,
                signed: false,
            };
            let factors = [parts.sampling(), model, roots, 0.027, 0.01];
            let exact = (factors.iter().map(|u| 1.0 + u * u).product::<f64>() - 1.0).sqrt();
            let drawn = parts.drawn(0.90).relative;
            let own = exact / (2.0 * count(DRAWS as usize)).sqrt();
            assert!((drawn - exact).abs() < 3.0 * own, "{drawn} {exact} {own}");
        }
    }

    /// Twenty other seeds leave both limits where they are, to within a hundredth of the width.
    #[test]
    fn limits_stand_still_over_seeds() {
        for (error, df) in [(2.0, 30.0), (8.0, 4.0), (6.0, 9.0)] {
            let parts = Parts {
                mean: 40.0,
                error,
                df,
                model: 0.13,
                roots: 0.05,
                fraction: 0.027,
                area: 0.01,
                signed: false,
            };
            let usual = parts.drawn(0.90);
            let width = usual.high - usual.low;
            for seed in 1..=20 {
                let other = parts.drawn_with(&normals(seed), 0.90);
                let moved = (other.low - usual.low).abs().max((other.high - usual.high).abs());
                assert!(moved < 0.01 * width, "{error} {df} {seed}: {}", moved / width);
            }
        }
    }

    /// With small errors and many plots, draws and closed form must agree; a standard deviation of 16,384 draws is known to 0.7 %.
    #[test]
    fn draws_agree_with_the_closed_form() {
        let parts = Parts {
            mean: 40.0,
            error: 2.0,
            df: f64::INFINITY,
            model: 0.06,
            roots: 0.03,
            fraction: 0.027,
            area: 0.01,
            signed: false,
        };
        let drawn = parts.drawn(0.90);
        assert!(
            (drawn.relative / parts.closed_form() - 1.0).abs() < 0.03,
            "{drawn:?} {}",
            parts.closed_form()
        );
        let half = 1.644_854 * parts.closed_form() * parts.mean;
        assert!(
            (drawn.high - parts.mean - half).abs() < 0.1 * half
                && (parts.mean - drawn.low - half).abs() < 0.1 * half
        );
    }
}
