//! What the sums of a table of payments come to by their sign: which of them went out is not always said.

use rust_decimal::Decimal;

use crate::{
    intake::{
        mapping::{MoneyIn, Sign},
        records::account,
        table::Table,
    },
    problem::{Evidence, Place, Problem},
};

/// The sums by their sign: how many there are and what they come to.
#[derive(Default)]
pub(super) struct Signs {
    above: (usize, Decimal),
    below: (usize, Decimal),
    /// The row of the first sum below nothing.
    first: Option<Place>,
}

impl Signs {
    /// Adds a sum as it is written.
    pub(super) fn add(&mut self, sum: Decimal, place: impl FnOnce() -> Place) {
        let side = match sum {
            sum if sum < Decimal::ZERO => {
                self.first.get_or_insert_with(place);
                &mut self.below
            }
            _ => &mut self.above,
        };
        *side = (side.0 + 1, side.1 + sum);
    }

    /// The question which sums went out, where the settings don't say and most are below nothing, or the balances beside them fall by those
    /// below nothing.
    pub(super) fn unclear(&self, table: &Table, currency: &str) -> Option<Problem> {
        if table.mapping.sign.is_some() {
            return None;
        }
        let balance = account::sign(table);
        let falls = matches!(balance, Some((_, Sign::OutIsNegative)));
        if self.below.0 < self.above.0 && !falls {
            return None;
        }
        let (below, above) = (self.below, self.above);
        let kind = Evidence::SignUnclear {
            below: below.0,
            sums: below.0 + above.0,
            as_written: said(below.1 + above.1, currency),
            out: said(-below.1, currency),
            came_in: said(above.1, currency),
            balance: balance.map(|(heading, sign)| (heading, sign == Sign::OutIsNegative)),
        };
        Some(Problem::new(kind, self.first.clone()?))
    }

    /// What is said where the settings read the sums one way and the balances beside them follow from the other.
    pub(super) fn against_balance(&self, table: &Table, currency: &str) -> Option<Problem> {
        let set = table.mapping.sign?;
        let (heading, says) = account::sign(table).filter(|(_, says)| *says != set)?;
        let (below, above) = (self.below.1, self.above.1);
        let (out, came_in) = match set {
            Sign::OutIsPositive => (above, -below),
            Sign::OutIsNegative => (-below, above),
        };
        let kind = Evidence::SignAgainstBalance {
            heading,
            out: said(out, currency),
            came_in: said(came_in, currency),
            negative: says == Sign::OutIsNegative,
        };
        let place = self.first.clone();
        let file = || Place { path: std::sync::Arc::clone(&table.path), ..Place::default() };
        Some(Problem::new(kind, place.unwrap_or_else(file)))
    }

    /// What is said of the few sums below nothing among receipts, of which the settings say nothing.
    pub(super) fn refunds(&self, table: &Table, spent: Decimal, currency: &str) -> Option<Problem> {
        let mapping = &table.mapping;
        let open = mapping.sign.is_none()
            && mapping.money_in != Some(MoneyIn::LeftOut)
            && mapping.money_in_by.is_empty();
        if !open {
            return None;
        }
        let kind = Evidence::Refunds {
            rows: self.below.0,
            sum: said(-self.below.1, currency),
            spent: said(spent, currency),
            without: said(spent - self.below.1, currency),
        };
        Some(Problem::new(kind, self.first.clone()?))
    }
}

fn said(sum: Decimal, currency: &str) -> String {
    format!("{currency} {sum:.2}")
}
