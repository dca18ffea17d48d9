//! The scale of a map and the round length of its scale bar.

use hillfolio_core::units::{number, whole};

/// Denominators that a map may have, from the largest scale to the smallest. The last shows the whole Earth on a page.
const DENOMINATORS: [u32; 34] = [
    250,
    500,
    1_000,
    1_250,
    1_500,
    2_000,
    2_500,
    3_000,
    4_000,
    5_000,
    6_000,
    7_500,
    8_000,
    10_000,
    12_500,
    15_000,
    20_000,
    25_000,
    50_000,
    75_000,
    100_000,
    150_000,
    200_000,
    250_000,
    400_000,
    500_000,
    1_000_000,
    2_000_000,
    5_000_000,
    10_000_000,
    20_000_000,
    50_000_000,
    100_000_000,
    400_000_000,
];

/// A map scale, 1 : denominator.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Scale(u32);

impl Scale {
    /// The scale 1 : `denominator`.
    #[must_use]
    pub const fn of(denominator: u32) -> Scale {
        Scale(denominator)
    }

    /// The largest round scale at which `ground` metres (width, height) fit into `paper` millimetres.
    #[must_use]
    pub fn fitting(ground: (f64, f64), paper: (f64, f64)) -> Scale {
        let needed = (ground.0 / paper.0).max(ground.1 / paper.1) * 1000.0;
        // A rounding hair must not turn 1:1 000 into 1:1 250.
        let fits = |denominator: &&u32| f64::from(**denominator) * (1.0 + 1e-9) >= needed;
        Scale(*DENOMINATORS.iter().find(fits).unwrap_or(&DENOMINATORS[DENOMINATORS.len() - 1]))
    }

    /// The denominator.
    #[must_use]
    pub fn denominator(self) -> u32 {
        self.0
    }

    /// Millimetres on paper of `metres` on the ground.
    #[must_use]
    pub fn paper(self, metres: f64) -> f64 {
        metres * 1000.0 / f64::from(self.0)
    }

    /// Metres on the ground of `millimetres` on paper.
    #[must_use]
    pub fn ground(self, millimetres: f64) -> f64 {
        millimetres * f64::from(self.0) / 1000.0
    }

    /// As printed: `1:2 500`.
    #[must_use]
    pub fn printed(self) -> String {
        format!("1:{}", spaced(&whole(u64::from(self.0))))
    }

    /// The longest 1-2-5 length, in metres, that is no longer than `longest` millimetres on paper.
    #[must_use]
    pub fn bar(self, longest: f64) -> f64 {
        one_two_five_below(self.ground(longest))
    }
}

/// The greatest of 1, 2 and 5 times a power of ten that is no more than `value`.
#[must_use]
pub fn one_two_five_below(value: f64) -> f64 {
    let mut power = libm::pow(10.0, libm::floor(libm::log10(value)));
    // log10 of a power of ten may come out a hair below it.
    if power * 10.0 <= value {
        power *= 10.0;
    }
    [5.0, 2.0].into_iter().map(|step| step * power).find(|step| *step <= value).unwrap_or(power)
}

/// A length on a scale bar: metres, or kilometres from 1 km on.
#[must_use]
pub fn distance_words(metres: f64, longest: f64) -> String {
    let (value, decimals) = if longest >= 1000.0 { (metres / 1000.0, 3) } else { (metres, 2) };
    let text = spaced(&number(value, decimals));
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}

/// Thousands set apart by narrow spaces, as surveyors print them, where the text has commas.
#[must_use]
pub fn spaced(number: &str) -> String {
    number.replace(',', "\u{202f}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_largest_scale_that_fits_is_taken() {
        let paper = (180.0, 130.0);
        assert_eq!(Scale::fitting((3.0, 3.0), paper), Scale(250));
        assert_eq!(Scale::fitting((180.0, 10.0), paper), Scale(1_000));
        assert_eq!(Scale::fitting((181.0, 10.0), paper), Scale(1_250));
        assert_eq!(Scale::fitting((10.0, 131.0), paper), Scale(1_250));
        assert_eq!(Scale::fitting((80_000.0, 200.0), paper), Scale(500_000));
        assert_eq!(Scale::fitting((40e6, 40e6), paper), Scale(400_000_000));
    }

    #[test]
    fn every_scale_has_a_bar_of_a_round_length_that_can_be_read() {
        for denominator in DENOMINATORS {
            let scale = Scale(denominator);
            let length = scale.bar(44.0);
            let paper = scale.paper(length);
            assert!((17.6..=44.0).contains(&paper), "1:{denominator}: {length} m is {paper} mm");
        }
        assert_eq!(Scale(2_500).bar(44.0), 100.0);
        assert_eq!(Scale(1_000).bar(50.0), 50.0);
    }

    #[test]
    fn scales_and_lengths_read_as_printed() {
        assert_eq!(Scale(2_500).printed(), "1:2\u{202f}500");
        assert_eq!(Scale(250).printed(), "1:250");
        assert_eq!(distance_words(50.0, 100.0), "50");
        assert_eq!(distance_words(2.5, 5.0), "2.5");
        assert_eq!(distance_words(500.0, 1000.0), "0.5");
        assert_eq!(distance_words(20_000.0, 20_000.0), "20");
        assert_eq!(distance_words(0.0, 20.0), "0");
    }
}
