//! What an agreement's papers list beside its money: assets that were bought, risks, and what an offset owes for each matter.

use chrono::NaiveDate;

use crate::{source::Row, units::Money};

/// Something bought that outlasts the work.
#[derive(Debug, Clone, PartialEq)]
pub struct Asset {
    /// What it is.
    pub words: String,
    /// When it was bought.
    pub on: NaiveDate,
    /// What it cost.
    pub price: Money,
    /// What for.
    pub purpose: Option<String>,
    /// The number of the receipt that it was bought with.
    pub receipt: Option<String>,
    /// Its serial number.
    pub serial: Option<String>,
    /// Where it is kept.
    pub place: Option<String>,
    /// What it is worth now.
    pub value: Option<Money>,
    /// When it went.
    pub disposed: Option<NaiveDate>,
    /// How and why it went.
    pub disposal: Option<String>,
    /// Where it stands.
    pub source: Row,
}

/// A risk as it is seen at the end of the period.
#[derive(Debug, Clone, PartialEq)]
pub struct Risk {
    /// What may happen.
    pub words: String,
    /// Since when it is seen; `None` where that was not written down.
    pub seen: Option<NaiveDate>,
    /// How likely it is, in the agreement's own words.
    pub likelihood: Option<String>,
    /// What would follow.
    pub consequence: Option<String>,
    /// What is done about it.
    pub response: Option<String>,
    /// Who sees to it.
    pub who: Option<String>,
    /// Where it stands.
    pub source: Row,
}

/// What an offset owes and has given for one matter: a community, a species, a unit. Matters are never set off against one another.
#[derive(Debug, Clone, PartialEq)]
pub struct Matter {
    /// What it is.
    pub words: String,
    /// In what it is counted, with the edition of the rules that say how.
    pub unit: String,
    /// Hectares lost.
    pub lost_hectares: Option<f64>,
    /// Lost, in the unit.
    pub lost: Option<f64>,
    /// Owed for it.
    pub owed: f64,
    /// Secured so far.
    pub secured: Option<f64>,
    /// Delivered so far.
    pub delivered: f64,
    /// By when all of it is due.
    pub due: Option<NaiveDate>,
    /// What secures it.
    pub instrument: Option<String>,
    /// Since when it is secured.
    pub secured_on: Option<NaiveDate>,
    /// Where it stands.
    pub source: Row,
}
