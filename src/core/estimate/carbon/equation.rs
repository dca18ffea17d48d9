//! Equations that turn the size of a plant into its dry mass.

use crate::project::DiameterAt;

/// The shape of an equation; D in cm, H in m, ρ in g/cm³, mass in kg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// exp(a + b ln D).
    Power(f64, f64),
    /// exp(a + b ln D + c ln² H).
    PowerHeight(f64, f64, f64),
    /// exp(a + b ln H).
    Height(f64, f64),
    /// a + b D + c D².
    Quadratic(f64, f64, f64),
    /// a (ρ D² H)^b.
    Density(f64, f64),
    /// exp(−1.803 − 0.976 E + 0.976 ln ρ + 2.673 ln D − 0.0299 ln² D), E the stress of the climate.
    Stress,
}

/// A published equation, or one fitted to published data where nothing better was found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Equation {
    /// Its name in the `allometry` column of the species table.
    pub id: &'static str,
    /// Its shape.
    pub shape: Shape,
    /// What the result is multiplied by, since the mean of a logarithm is not the logarithm of the mean; 1 where the equation
    /// holds it already.
    pub correction: f64,
    /// Where it wants the diameter.
    pub at: DiameterAt,
    /// Smallest and largest diameter it was fitted to, cm.
    pub range: (f64, f64),
    /// Standard deviation of one plant's logarithm about the equation.
    pub sigma: f64,
    /// Relative standard error that all plants share, because the equation leans one way at this site (judgement, see
    /// [`crate::estimate::Method::CARBON_STOCK`]).
    pub bias: f64,
}

/// The size of a plant.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Size {
    /// Diameter where the equation wants it, cm.
    pub diameter: f64,
    /// Height, m.
    pub height: Option<f64>,
    /// Basic density of its wood, g/cm³.
    pub density: Option<f64>,
    /// Stress of the climate, E of Chave et al. (2014).
    pub stress: Option<f64>,
}

impl Equation {
    /// Dry mass of a plant, kg; `None` where it needs a height, a density or a climate that is not known.
    #[must_use]
    pub fn mass(&self, size: Size) -> Option<f64> {
        let ln_d = libm::log(size.diameter);
        let mass = match self.shape {
            Shape::Power(a, b) => libm::exp(a + b * ln_d),
            Shape::PowerHeight(a, b, c) => {
                let ln_h = libm::log(size.height?);
                libm::exp(a + b * ln_d + c * ln_h * ln_h)
            }
            Shape::Height(a, b) => libm::exp(a + b * libm::log(size.height?)),
            Shape::Quadratic(a, b, c) => (a + b * size.diameter + c * size.diameter * size.diameter).max(0.0),
            Shape::Density(a, b) => {
                a * libm::pow(size.density? * size.diameter * size.diameter * size.height?, b)
            }
            Shape::Stress => libm::exp(
                -1.803 - 0.976 * size.stress? + 0.976 * libm::log(size.density?) + 2.673 * ln_d
                    - 0.0299 * ln_d * ln_d,
            ),
        };
        let mass = mass * self.correction;
        mass.is_finite().then_some(mass)
    }

    /// Whether it needs a wood density.
    #[must_use]
    pub fn wants_density(&self) -> bool {
        matches!(self.shape, Shape::Density(..) | Shape::Stress)
    }

    /// Whether a diameter lies within what it was fitted to.
    #[must_use]
    pub fn holds(&self, diameter: f64) -> bool {
        (self.range.0..=self.range.1).contains(&diameter)
    }
}

/// Baskerville's correction for an equation fitted to logarithms with residual deviation `sigma`: exp(σ²/2).
///
/// # Reference
/// Baskerville (1972), *Canadian Journal of Forest Research* 2:49-53.
#[must_use]
pub fn log_correction(sigma: f64) -> f64 {
    libm::exp(sigma * sigma / 2.0)
}
