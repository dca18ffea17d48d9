//! Sums shared out to the cent: by the largest remainder, so that the parts make the whole.

use rust_decimal::{Decimal, RoundingStrategy};

use crate::units::Money;

/// Digits of the smallest coin.
const DIGITS: u32 = 2;

/// `sum` shared out by `weights`: each part is its exact share cut to the cent, and the cents that are left go to the largest
/// remainders, of equal ones to the earlier. The parts make the sum; no weight at all gives everything to nobody.
///
/// # Reference
/// The method of largest remainders (Hamilton), as in Balinski and Young (2001), *Fair Representation*, ch. 3 (from memory).
#[must_use]
pub fn shared_out(sum: Money, weights: &[Decimal]) -> Vec<Money> {
    let total: Decimal = weights.iter().sum();
    if total <= Decimal::ZERO {
        return vec![Money::ZERO; weights.len()];
    }
    let whole = sum.0.abs();
    let exact: Vec<Decimal> = weights.iter().map(|weight| whole * weight / total).collect();
    let mut parts: Vec<Decimal> =
        exact.iter().map(|part| part.round_dp_with_strategy(DIGITS, RoundingStrategy::ToZero)).collect();
    let mut left = whole - parts.iter().sum::<Decimal>();
    let mut order: Vec<usize> = (0..weights.len()).filter(|&at| weights[at] > Decimal::ZERO).collect();
    order.sort_by(|&one, &other| {
        (exact[other] - parts[other]).cmp(&(exact[one] - parts[one])).then(one.cmp(&other))
    });
    let cent = Decimal::new(1, DIGITS);
    for at in order.iter().cycle().take(weights.len() * 2) {
        if left <= Decimal::ZERO {
            break;
        }
        // What is smaller than a cent stays whole: a sum may be written with more digits.
        let given = cent.min(left);
        parts[*at] += given;
        left -= given;
    }
    let sign = if sum.0 < Decimal::ZERO { -Decimal::ONE } else { Decimal::ONE };
    parts.into_iter().map(|part| Money(part * sign)).collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn money(text: &str) -> Money {
        Money(Decimal::from_str_exact(text).unwrap_or_default())
    }

    fn shared(sum: &str, weights: &[i64]) -> Vec<String> {
        let weights: Vec<Decimal> = weights.iter().map(|&weight| Decimal::from(weight)).collect();
        shared_out(money(sum), &weights).iter().map(|part| format!("{:.2}", part.0)).collect()
    }

    #[test]
    fn cents_that_are_left_go_to_the_largest_remainders() {
        assert_eq!(shared("12600", &[410, 265, 175]), ["6077.65", "3928.23", "2594.12"]);
        assert_eq!(shared("1000.01", &[45, 35, 20]), ["450.01", "350.00", "200.00"]);
        assert_eq!(shared("-1000.01", &[45, 35, 20]), ["-450.01", "-350.00", "-200.00"]);
        assert_eq!(shared("0.02", &[1, 1, 1]), ["0.01", "0.01", "0.00"]);
        assert_eq!(shared("5", &[0, 0]), ["0.00", "0.00"]);
    }

    proptest! {
        #[test]
        fn parts_make_the_whole_and_are_within_a_cent_of_their_share(
            cents in -10_000_000_i64..10_000_000,
            weights in prop::collection::vec(0_i64..5_000, 1..6),
        ) {
            let sum = Money(Decimal::new(cents, 2));
            let weights: Vec<Decimal> = weights.into_iter().map(Decimal::from).collect();
            let total: Decimal = weights.iter().sum();
            let parts = shared_out(sum, &weights);
            if total > Decimal::ZERO {
                prop_assert_eq!(parts.iter().copied().sum::<Money>(), sum);
                for (part, weight) in parts.iter().zip(&weights) {
                    prop_assert!((part.0 - sum.0 * weight / total).abs() < Decimal::new(1, 2));
                }
            }
        }
    }
}
