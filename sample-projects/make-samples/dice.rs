//! Chance that falls the same way every time.

/// SplitMix64 (Steele, Lea and Flood 2014, "Fast splittable pseudorandom number generators", figure 12).
pub(crate) struct Dice(u64);

impl Dice {
    /// Dice for one purpose, named so that a change elsewhere does not disturb them.
    pub(crate) fn new(purpose: &str) -> Dice {
        Dice(hash(purpose))
    }

    fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        mix(self.0)
    }

    /// A number from 0 to 1, 1 left out.
    pub(crate) fn part(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// A number from `low` to `high`.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.part()
    }

    /// A whole number from `low` to `high`, both allowed.
    pub(crate) fn whole(&mut self, low: u64, high: u64) -> u64 {
        low + self.bits() % (high - low + 1)
    }

    /// Whether something happens that happens in `chance` of all cases.
    pub(crate) fn happens(&mut self, chance: f64) -> bool {
        self.part() < chance
    }

    /// About 0, rarely beyond 2 either way: the sum of twelve even chances.
    pub(crate) fn bell(&mut self) -> f64 {
        (0..12).map(|_| self.part()).sum::<f64>() - 6.0
    }

    /// One of `choices`.
    pub(crate) fn one<'a, T>(&mut self, choices: &'a [T]) -> &'a T {
        &choices[self.whole(0, choices.len() as u64 - 1) as usize]
    }

    /// The place of one of `weights`, the heavier the likelier.
    pub(crate) fn weighed(&mut self, weights: &[f64]) -> usize {
        let mut left = self.part() * weights.iter().sum::<f64>();
        for (at, weight) in weights.iter().enumerate() {
            left -= weight;
            if left < 0.0 {
                return at;
            }
        }
        weights.len() - 1
    }
}

/// FNV-1a, 64 bits.
pub(crate) fn hash(text: &str) -> u64 {
    text.bytes()
        .fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3))
}

/// SplitMix64's finisher: every bit of the answer hangs on every bit of the question.
pub(crate) fn mix(mut bits: u64) -> u64 {
    bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    bits ^ (bits >> 31)
}
