//! Claims: which agreements a row of a table names, and with which shares of it.

use std::{fmt, sync::Arc};

use rust_decimal::Decimal;

use crate::project::Cell;

/// The id of an agreement, as tables name it and as its folder of documents is called.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AgreementId(pub Arc<str>);

impl fmt::Display for AgreementId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Who bears a share of a payment, an hour or a stem: agreements in the order of `project.toml`, then the landholder.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Payer {
    /// An agreement.
    Agreement(AgreementId),
    /// The landholder's own.
    Own,
    /// Nobody: what shares leave over.
    Unclaimed,
}

impl Payer {
    /// The word for the landholder's own in tables and settings.
    pub const OWN: &'static str = "own";

    /// The word for what nobody claims.
    pub const UNCLAIMED: &'static str = "unclaimed";

    /// Its code in ids of figures and in tables.
    #[must_use]
    pub fn code(&self) -> &str {
        match self {
            Payer::Agreement(id) => &id.0,
            Payer::Own => Payer::OWN,
            Payer::Unclaimed => Payer::UNCLAIMED,
        }
    }

    /// Whether it is this agreement.
    #[must_use]
    pub fn is(&self, agreement: &AgreementId) -> bool {
        matches!(self, Payer::Agreement(id) if id == agreement)
    }
}

/// What a row claims of itself: payers and their shares in per cent of the row. Nothing where it names none.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Claims(pub Vec<(Payer, Decimal)>);

impl Claims {
    /// Whether the row names nobody.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The per cents of all payers together.
    #[must_use]
    pub fn sum(&self) -> Decimal {
        self.0.iter().map(|(_, share)| share).sum()
    }

    /// The one with the largest share, who owns what can't be shared out; `None` where nobody is named or two have the same.
    #[must_use]
    pub fn largest(&self) -> Option<&Payer> {
        let most = self.0.iter().map(|(_, share)| *share).max()?;
        let mut holders = self.0.iter().filter(|(_, share)| *share == most);
        let first = holders.next().map(|(payer, _)| payer);
        first.filter(|_| holders.next().is_none())
    }
}

/// As it is written in a table: `catchment`, or `catchment 60; council 40`.
impl From<&Claims> for Cell {
    fn from(claims: &Claims) -> Cell {
        match claims.0.as_slice() {
            [] => Cell::Empty,
            [(payer, share)] if *share == Decimal::ONE_HUNDRED => payer.code().into(),
            shares => {
                let one =
                    |(payer, share): &(Payer, Decimal)| format!("{} {}", payer.code(), share.normalize());
                shares.iter().map(one).collect::<Vec<_>>().join("; ").into()
            }
        }
    }
}
