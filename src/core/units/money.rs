//! Money, exact to the last decimal that was written down.

use rust_decimal::Decimal;

/// A sum of money in the project's currency.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Money(pub Decimal);

impl Money {
    /// No money at all.
    pub const ZERO: Money = Money(Decimal::ZERO);

    /// The sum as a floating-point number, for the ledger and for drawing.
    #[must_use]
    pub fn number(self) -> f64 {
        use rust_decimal::prelude::ToPrimitive;
        self.0.to_f64().unwrap_or(f64::NAN)
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
