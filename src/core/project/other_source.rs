//! Other sources of a place, as far as the documents of one agreement tell of them.

use crate::{source::Row, units::Money};

/// Whom the money statement of an agreement tells of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum StatementScope {
    /// Of this grant alone: other income is left out, as most agreements ask.
    #[default]
    ThisGrant,
    /// Of all sources of the place, each with what it spent.
    AllSources,
}

impl StatementScope {
    /// Both.
    pub const ALL: [StatementScope; 2] = [StatementScope::ThisGrant, StatementScope::AllSources];

    /// The scope as `project.toml` writes it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            StatementScope::ThisGrant => "this grant",
            StatementScope::AllSources => "all sources",
        }
    }
}

/// Somebody else who pays for the place.
#[derive(Debug, Clone, PartialEq)]
pub struct OtherSource {
    /// Who: the funder where its agreement lets it be named, else what it is.
    pub name: String,
    /// Whether it is named, and so to be acknowledged.
    pub named: bool,
    /// Cash that it spent to date, by the rule of tax of the agreement that is told.
    pub spent: Money,
    /// Where it stands.
    pub source: Row,
}
