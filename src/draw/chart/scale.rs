//! The scale of an axis: round steps, and where a value stands on paper.

/// A linear scale that ends on round numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scale {
    low: f64,
    high: f64,
    step: f64,
    left: f64,
    right: f64,
}

impl Scale {
    /// A scale over zero and every one of `values`, from `left` to `right` mm, with at most about `ticks` steps, none
    /// smaller than `least`.
    pub(super) fn over(
        values: impl Iterator<Item = f64>,
        (left, right): (f64, f64),
        ticks: f64,
        least: f64,
    ) -> Scale {
        let (low, high) = values
            .filter(|value| value.is_finite())
            .fold((0.0_f64, 0.0_f64), |(low, high), value| (low.min(value), high.max(value)));
        let span = if high > low { high - low } else { least };
        let step = round_step(span / ticks.max(1.0)).max(least);
        let high = if high > low { high } else { least };
        Scale { low: (low / step).floor() * step, high: (high / step).ceil() * step, step, left, right }
    }

    /// The scale of a share: 0 to 100 %, whatever the values are.
    pub(super) fn of_shares((left, right): (f64, f64)) -> Scale {
        Scale { low: 0.0, high: 1.0, step: 0.2, left, right }
    }

    /// Where `value` stands, mm from the left edge of the sheet.
    pub(super) fn at(&self, value: f64) -> f64 {
        let part = ((value - self.low) / (self.high - self.low)).clamp(0.0, 1.0);
        self.left + part * (self.right - self.left)
    }

    /// The values that get a rule and a number.
    pub(super) fn ticks(&self) -> Vec<f64> {
        let steps = ((self.high - self.low) / self.step).round();
        let mut ticks = Vec::new();
        let mut n = 0.0;
        while n <= steps {
            ticks.push(self.low + n * self.step);
            n += 1.0;
        }
        ticks
    }

    /// Decimals that the numbers at the ticks need.
    pub(super) fn decimals(&self) -> usize {
        [1.0, 0.1, 0.01].iter().position(|unit| self.step >= unit * 0.999).unwrap_or(3)
    }
}

/// The least of 1, 2 and 5 times a power of ten that is not below `rough`.
fn round_step(rough: f64) -> f64 {
    if !(rough.is_finite() && rough > 0.0) {
        return 1.0;
    }
    let mut power = 1e-6;
    while power * 10.0 <= rough * 1.000_001 {
        power *= 10.0;
    }
    [1.0, 2.0, 5.0]
        .iter()
        .map(|times| times * power)
        .find(|step| *step >= rough * 0.999_999)
        .unwrap_or(10.0 * power)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round() {
        for (rough, step) in [(0.3, 0.5), (1.0, 1.0), (1.1, 2.0), (3.0, 5.0), (6.0, 10.0), (240.0, 500.0)] {
            assert!((round_step(rough) - step).abs() < 1e-9 * step, "{rough}: {}", round_step(rough));
        }
    }

    #[test]
    fn a_scale_holds_zero_and_all_values_for_any_values() {
        for values in [
            vec![],
            vec![0.0],
            vec![3.0],
            vec![-250.0, 18_400.0],
            vec![-5.0],
            vec![1e9, f64::NAN],
            vec![0.01],
        ] {
            let scale = Scale::over(values.iter().copied(), (50.0, 150.0), 6.0, 0.001);
            let ticks = scale.ticks();
            assert!((2..=9).contains(&ticks.len()), "{values:?}: {ticks:?}");
            assert!(ticks.iter().any(|tick| tick.abs() < 1e-9), "zero has a tick in {ticks:?}");
            for value in values.iter().filter(|value| value.is_finite()) {
                assert!(
                    ticks[0] <= *value && *value <= ticks[ticks.len() - 1] * 1.000_001,
                    "{value} in {ticks:?}"
                );
                assert!((50.0..=150.0).contains(&scale.at(*value)));
            }
        }
    }
}
