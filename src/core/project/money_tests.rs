//! What agreements ask of money: tests of variances, and what becomes of what is not spent.

use crate::units::Money;

/// A test of how far spending strays from the budget: four sums that agreements all call ten per cent.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum VarianceTest {
    /// The largest rise of a line over the money paid of the grant.
    WholeGrant,
    /// All rises of lines over the approved budget.
    CumulativeTransfers,
    /// The change of each line over its budget.
    Line,
    /// Money on a line for which nothing was approved.
    NewLine,
}

impl VarianceTest {
    /// Every test.
    pub const ALL: [VarianceTest; 4] = [
        VarianceTest::WholeGrant,
        VarianceTest::CumulativeTransfers,
        VarianceTest::Line,
        VarianceTest::NewLine,
    ];

    /// The test as `project.toml` writes it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            VarianceTest::WholeGrant => "whole grant",
            VarianceTest::CumulativeTransfers => "cumulative transfers",
            VarianceTest::Line => "line",
            VarianceTest::NewLine => "new line",
        }
    }
}

/// A test with the share beyond which a reason or an approval is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Explain {
    /// The test.
    pub test: VarianceTest,
    /// The share, as a part of the whole.
    pub over: f64,
}

/// What becomes of money that is not spent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnspentFate {
    /// It goes back.
    Return,
    /// It may be kept where the funder approves.
    Retain,
    /// It is carried into the next year.
    Carry,
}

impl UnspentFate {
    /// Every fate.
    pub const ALL: [UnspentFate; 3] = [UnspentFate::Return, UnspentFate::Retain, UnspentFate::Carry];

    /// The fate as `project.toml` writes it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            UnspentFate::Return => "return",
            UnspentFate::Retain => "retain with approval",
            UnspentFate::Carry => "carry",
        }
    }
}

/// What the agreement says of unspent money.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UnspentRule {
    /// What becomes of it.
    pub fate: UnspentFate,
    /// The share of all money paid up to which nobody has to be asked.
    pub of_paid: Option<f64>,
    /// The sum up to which nobody has to be asked; with a share the lesser of the two.
    pub at_most: Option<Money>,
    /// Whether sums that are committed to be spent count as spent.
    pub less_committed: bool,
}
