//! What the report of a portfolio is made from.

use bytes::Bytes;
use chrono::NaiveDate;

use crate::draw::Drawing;
use hillfolio_core::{
    estimate::Interval,
    ledger::{Ledger, Standing},
    source::Input,
    units::Unit,
};

/// What the report of a portfolio is made from.
#[derive(Debug, Clone, Copy)]
pub struct Portfolio<'a> {
    /// What the portfolio is called.
    pub name: &'a str,
    /// First day of any site's period.
    pub from: NaiveDate,
    /// Last day of any site's period.
    pub to: NaiveDate,
    /// Whether the sites' periods differ.
    pub periods_differ: bool,
    /// Confidence of the joined intervals.
    pub confidence: f64,
    /// The figures of all sites together.
    pub ledger: &'a Ledger,
    /// Where the sites lie.
    pub map: Option<&'a Drawing>,
    /// Charts of all sites together.
    pub charts: &'a [Drawing],
    /// The sites, in the order of their numbers.
    pub sites: &'a [SiteLine],
    /// Projects that are not in it.
    pub left_out: &'a [LeftOut],
    /// Currencies in which money was spent, in order.
    pub currencies: &'a [String],
    /// Files that go with the report: name, kind, what they hold, bytes.
    pub attached: &'a [(String, Bytes)],
    /// The files that the figures came from.
    pub inputs: &'a [Input],
    /// The program's version.
    pub version: &'a str,
}

/// A site as the tables list it.
#[derive(Debug, Clone, PartialEq)]
pub struct SiteLine {
    /// Its number.
    pub number: usize,
    /// Its name.
    pub name: String,
    /// Its agreement's reference.
    pub reference: String,
    /// Its path in the portfolio.
    pub path: String,
    /// Its period.
    pub period: (NaiveDate, NaiveDate),
    /// Its figures for the table, in the order of its columns; `None` where it has none.
    pub figures: Vec<Option<Told>>,
    /// Its targets.
    pub targets: Vec<TargetLine>,
    /// What was found doubtful, one of each kind.
    pub doubts: Vec<Doubted>,
}

/// One figure of a site with its interval.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// The value.
    pub value: f64,
    /// The interval.
    pub interval: Option<Interval<f64>>,
    /// The unit.
    pub unit: Unit,
}

/// A target of a site.
#[derive(Debug, Clone, PartialEq)]
pub struct TargetLine {
    /// Its words.
    pub words: String,
    /// Under which agreement.
    pub under: String,
    /// How it stands.
    pub standing: Standing,
    /// Why.
    pub because: String,
}

/// Doubts of one kind about a site.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubted {
    /// The kind's stable name.
    pub code: String,
    /// The first of them in words.
    pub says: String,
    /// Where that one stands.
    pub place: String,
    /// How many there are.
    pub count: usize,
}

/// A project whose figures are not in the report.
#[derive(Debug, Clone, PartialEq)]
pub struct LeftOut {
    /// Its path in the portfolio.
    pub path: String,
    /// Why.
    pub because: String,
}
