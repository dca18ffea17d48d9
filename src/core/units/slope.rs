//! Steepness: the angle from the level, and the rise over the run.

/// An angle in degrees.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Degrees(pub f64);

/// A slope as 100 × rise / run.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct PercentSlope(pub f64);

impl Degrees {
    /// Cosine of the angle: what a length down the slope is multiplied by to give its plan length.
    #[must_use]
    pub fn cos(self) -> f64 {
        libm::cos(self.0.to_radians())
    }

    /// Sine of the angle.
    #[must_use]
    pub fn sin(self) -> f64 {
        libm::sin(self.0.to_radians())
    }
}

impl From<PercentSlope> for Degrees {
    fn from(slope: PercentSlope) -> Self {
        Degrees(libm::atan(slope.0 / 100.0).to_degrees())
    }
}

impl From<Degrees> for PercentSlope {
    fn from(slope: Degrees) -> Self {
        PercentSlope(100.0 * libm::tan(slope.0.to_radians()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The two practice limits in both units: 12° is 21.3 %, 15° is 26.8 % (trigonometry).
    #[test]
    fn degrees_and_percent_agree() {
        assert!((PercentSlope::from(Degrees(12.0)).0 - 21.256).abs() < 0.001);
        assert!((PercentSlope::from(Degrees(15.0)).0 - 26.795).abs() < 0.001);
        assert!((Degrees::from(PercentSlope(100.0)).0 - 45.0).abs() < 1e-12);
    }
}
