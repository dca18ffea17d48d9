//! Money, exact to the last decimal that was written down.

use rust_decimal::Decimal;

/// A sum of money in the project's currency.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Money(pub Decimal);

impl Money {
    /// The largest sum that is read, either way: a million million. So a million of them and more can be added up, and an hourly rate
    /// multiplied by hours, within what a decimal number holds.
    pub const MOST: Money = Money(Decimal::from_parts(3_567_587_328, 232, 0, false, 0));

    /// No money at all.
    pub const ZERO: Money = Money(Decimal::ZERO);

    /// The sum as a floating-point number, for the ledger and for drawing.
    #[must_use]
    pub fn number(self) -> f64 {
        use rust_decimal::prelude::ToPrimitive;
        self.0.to_f64().unwrap_or(f64::NAN)
    }

    /// Whether it is no larger than any sum that is read.
    #[must_use]
    pub fn is_within_reason(self) -> bool {
        self.0.abs() <= Money::MOST.0
    }
}

/// Its digits to the cent, or to the last that was written down.
impl std::fmt::Display for Money {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let digits = self.0.normalize().scale().max(2);
        write!(f, "{:.*}", digits as usize, self.0)
    }
}

impl std::ops::Add for Money {
    type Output = Money;
    fn add(self, other: Money) -> Money {
        Money(self.0 + other.0)
    }
}

impl std::ops::Sub for Money {
    type Output = Money;
    fn sub(self, other: Money) -> Money {
        Money(self.0 - other.0)
    }
}

impl std::iter::Sum for Money {
    fn sum<I: Iterator<Item = Money>>(sums: I) -> Money {
        sums.fold(Money::ZERO, |total, one| total + one)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_largest_sums_can_be_added_up_and_paid_by_the_hour() {
        assert_eq!(Money::MOST.0, Decimal::from(1_000_000_000_000_u64));
        let many: Money = std::iter::repeat_n(Money::MOST, 1_000_000).sum();
        assert_eq!(many.0, Decimal::from(10_u64.pow(18)));
        assert!((many.0 * Decimal::from(100_000)) > many.0);
    }
}
