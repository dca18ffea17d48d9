//! The scale of an axis: round steps, and where a value stands on paper.

/// A scale that ends on round numbers: linear, or of decades, on which equal distances are equal ratios.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scale {
    decades: bool,
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
        Scale {
            decades: false,
            low: (low / step).floor() * step,
            high: (high / step).ceil() * step,
            step,
            left,
            right,
        }
    }

    /// The scale of a share: 0 to 100 %, whatever the values are.
    pub(super) fn of_shares((left, right): (f64, f64)) -> Scale {
        Scale { decades: false, low: 0.0, high: 1.0, step: 0.2, left, right }
    }

    /// A scale of decades over those of `values` that are more than nothing, none counted as less than `least`.
    pub(super) fn of_decades(
        values: impl Iterator<Item = f64>,
        (left, right): (f64, f64),
        least: f64,
    ) -> Scale {
        let held = values.filter(|value| value.is_finite() && *value > 0.0).map(|value| value.max(least));
        let (low, high) =
            held.fold((f64::INFINITY, 0.0_f64), |(low, high), value| (low.min(value), high.max(value)));
        let (low, high) = if high > 0.0 { (low, high) } else { (least, least) };
        let below = one_two_fives().map(|(number, _)| number).filter(|number| *number <= low * 1.000_001);
        let low = below.last().unwrap_or(0.001);
        let high = one_two_fives()
            .map(|(number, _)| number)
            .find(|number| *number >= high.max(low * 2.0) * 0.999_999);
        let high = high.unwrap_or(1e7);
        Scale { decades: true, low, high, step: low, left, right }
    }

    /// Where `value` stands, mm from the left edge of the sheet.
    pub(super) fn at(&self, value: f64) -> f64 {
        let part = if self.decades {
            libm::log10(value.max(self.low) / self.low) / libm::log10(self.high / self.low)
        } else {
            (value - self.low) / (self.high - self.low)
        };
        let part = part.clamp(0.0, 1.0);
        self.left + part * (self.right - self.left)
    }

    /// The values that get a rule and a number.
    pub(super) fn ticks(&self) -> Vec<f64> {
        if self.decades {
            // Where there are many decades, the powers of ten alone.
            let dense = self.high / self.low < 5_000.0;
            let on = |(number, times): &(f64, f64)| {
                (self.low * 0.999_999..=self.high * 1.000_001).contains(number) && (dense || *times == 1.0)
            };
            return one_two_fives().filter(on).map(|(number, _)| number).collect();
        }
        let steps = ((self.high - self.low) / self.step).round();
        let mut ticks = Vec::new();
        let mut n = 0.0;
        while n <= steps {
            ticks.push(self.low + n * self.step);
            n += 1.0;
        }
        ticks
    }

    /// Decimals that the number at `tick` needs.
    pub(super) fn decimals(&self, tick: f64) -> usize {
        let step = if self.decades { tick } else { self.step };
        [1.0, 0.1, 0.01].iter().position(|unit| step >= unit * 0.999).unwrap_or(3)
    }
}

/// 1, 2 and 5 times every power of ten from a thousandth to a million.
fn one_two_fives() -> impl Iterator<Item = (f64, f64)> {
    let powers = (-3..=6).map(|power| libm::pow(10.0, f64::from(power)));
    powers.flat_map(|power| [1.0, 2.0, 5.0].map(|times| (times * power, times)))
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
    fn on_decades_equal_ratios_are_equally_far_apart() {
        let values = [0.07, 3.0, 61.0];
        let scale = Scale::of_decades(values.into_iter(), (0.0, 90.0), 0.1);
        assert_eq!(scale.ticks(), [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0]);
        assert!((scale.at(1.0) - 30.0).abs() < 1e-9 && (scale.at(10.0) - 60.0).abs() < 1e-9);
        assert_eq!((scale.at(0.0), scale.at(0.07), scale.at(1e9)), (0.0, 0.0, 90.0));
        assert_eq!((scale.decimals(0.2), scale.decimals(20.0)), (1, 0));
        let none = Scale::of_decades(std::iter::empty(), (0.0, 90.0), 1.0);
        assert!(none.ticks().len() > 1 && none.at(1.0).is_finite());
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
