//! Chance that falls the same way every time and everywhere.

use crate::estimate::{Interval, interval::quantile, ratio::count};

/// Philox4x32-10: numbers by their place, not by their order, so that threads can't change them.
///
/// # Reference
/// Salmon, Moraes, Dror and Shaw (2011), *Parallel random numbers: as easy as 1, 2, 3*, Proceedings of the International
/// Conference for High Performance Computing, Networking, Storage and Analysis (SC11).
#[derive(Debug, Clone, Copy)]
pub struct Chance {
    key: [u32; 2],
}

const MULTIPLIERS: [u32; 2] = [0xD251_1F53, 0xCD9E_8D57];
const WEYL: [u32; 2] = [0x9E37_79B9, 0xBB67_AE85];
const ROUNDS: usize = 10;

impl Chance {
    /// Numbers under a seed.
    #[must_use]
    pub fn new(seed: u64) -> Chance {
        Chance { key: halves(seed) }
    }

    /// Two standard normal numbers: the pair `place` of draw `draw`.
    ///
    /// # Reference
    /// Box and Muller (1958), Annals of Mathematical Statistics 29:610-611.
    #[must_use]
    pub fn normals(&self, draw: u64, place: u32) -> [f64; 2] {
        let [low, high] = halves(draw);
        let bits = block([low, high, place, 0], self.key);
        let radius = (-2.0 * libm::log(open(bits[0], bits[1]))).sqrt();
        let angle = std::f64::consts::TAU * open(bits[2], bits[3]);
        [radius * libm::cos(angle), radius * libm::sin(angle)]
    }
}

/// A number strictly between 0 and 1, from 53 of 64 bits.
#[allow(clippy::cast_precision_loss, reason = "53 bits are kept")]
fn open(high: u32, low: u32) -> f64 {
    let bits = (u64::from(high) << 32 | u64::from(low)) >> 11;
    (bits as f64 + 0.5) / (1u64 << 53) as f64
}

#[allow(clippy::cast_possible_truncation, reason = "the halves are meant")]
fn halves(number: u64) -> [u32; 2] {
    [number as u32, (number >> 32) as u32]
}

fn block(mut counter: [u32; 4], mut key: [u32; 2]) -> [u32; 4] {
    for _ in 0..ROUNDS {
        let [low_0, high_0] = halves(u64::from(MULTIPLIERS[0]) * u64::from(counter[0]));
        let [low_1, high_1] = halves(u64::from(MULTIPLIERS[1]) * u64::from(counter[2]));
        counter = [high_1 ^ counter[1] ^ key[0], low_1, high_0 ^ counter[3] ^ key[1], low_0];
        key = [key[0].wrapping_add(WEYL[0]), key[1].wrapping_add(WEYL[1])];
    }
    counter
}

/// The two quantiles that hold `confidence` of `draws`.
pub(crate) fn ends(mut draws: Vec<f64>, confidence: f64) -> Interval<f64> {
    let upper = quantile::upper(confidence);
    Interval { low: at(&mut draws, 1.0 - upper), high: at(&mut draws, upper), confidence }
}

/// The quantile `part` of `draws`, between the two that stand next to it in order. Only these two are looked for: to order all of
/// them takes five times as long.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the draws")]
fn at(draws: &mut [f64], part: f64) -> f64 {
    let Some(last) = draws.len().checked_sub(1) else { return f64::NAN };
    let place = part * count(last);
    let below = (place.floor() as usize).min(last);
    let (_, value, above) = draws.select_nth_unstable_by(below, f64::total_cmp);
    let next = above.iter().copied().min_by(f64::total_cmp).unwrap_or(*value);
    *value + (place - place.floor()) * (next - *value)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The known answers that come with the authors' Random123 library (kat_vectors, philox4x32 10).
    #[test]
    fn the_published_vectors_come_out() {
        assert_eq!(block([0; 4], [0; 2]), [0x6627_e8d5, 0xe169_c58d, 0xbc57_ac4c, 0x9b00_dbd8]);
        assert_eq!(block([u32::MAX; 4], [u32::MAX; 2]), [0x408f_276d, 0x41c8_3b0e, 0xa20b_c7c6, 0x6d54_51fd]);
        assert_eq!(
            block([0x243f_6a88, 0x85a3_08d3, 0x1319_8a2e, 0x0370_7344], [0xa409_3822, 0x299f_31d0]),
            [0xd16c_fe09, 0x94fd_cceb, 0x5001_e420, 0x2412_6ea1]
        );
    }

    #[test]
    fn normals_have_mean_nought_and_spread_one() {
        let chance = Chance::new(7);
        let numbers: Vec<f64> = (0..20_000).flat_map(|draw| chance.normals(draw, 0)).collect();
        let n = 40_000.0;
        let mean = numbers.iter().sum::<f64>() / n;
        let variance = numbers.iter().map(|number| (number - mean).powi(2)).sum::<f64>() / n;
        // Four standard errors of a mean and of a variance.
        assert!(
            mean.abs() < 4.0 / f64::sqrt(n) && (variance - 1.0).abs() < 4.0 * f64::sqrt(2.0 / n),
            "{mean} {variance}"
        );
    }
}
