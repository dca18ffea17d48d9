//! Rules by which costs that serve several are shared out.

use chrono::NaiveDate;
use rust_decimal::Decimal;

use crate::{project::Payer, source::Row};

/// By what a cost that serves several is shared out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShareBasis {
    /// Plan hectares of their ground.
    Area,
    /// Stems that they own.
    Stems,
    /// Metres, of the works log or as measured.
    Metres,
    /// Hectares of ground times the visits to it.
    HectaresTimesVisits,
    /// Their other costs.
    ShareOfDirectCost,
    /// Per cents that were agreed.
    Fixed,
}

impl ShareBasis {
    /// Every basis.
    pub const ALL: [ShareBasis; 6] = [
        ShareBasis::Area,
        ShareBasis::Stems,
        ShareBasis::Metres,
        ShareBasis::HectaresTimesVisits,
        ShareBasis::ShareOfDirectCost,
        ShareBasis::Fixed,
    ];

    /// The basis as `project.toml` writes it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            ShareBasis::Area => "area",
            ShareBasis::Stems => "stems",
            ShareBasis::Metres => "metres",
            ShareBasis::HectaresTimesVisits => "hectares x visits",
            ShareBasis::ShareOfDirectCost => "share of direct cost",
            ShareBasis::Fixed => "fixed",
        }
    }
}

/// Over which days a rule counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ShareOver {
    /// The reporting period in which the row falls.
    #[default]
    Period,
    /// Everything up to the end of that period: for work that serves whatever stands.
    ToDate,
}

impl ShareOver {
    /// Both.
    pub const ALL: [ShareOver; 2] = [ShareOver::Period, ShareOver::ToDate];

    /// The days as `project.toml` writes them.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            ShareOver::Period => "period",
            ShareOver::ToDate => "to date",
        }
    }
}

/// A rule by which rows that name no agreement are shared out.
#[derive(Debug, Clone, PartialEq)]
pub struct Sharing {
    /// Lines of spending that it is for; with `tasks` empty too, every row.
    pub lines: Vec<String>,
    /// Tasks of the works log that it is for.
    pub tasks: Vec<String>,
    /// Tasks of the works log whose metres or visits it counts; empty, those that it is for, else all.
    pub count: Vec<String>,
    /// Between whom, each with what was measured or agreed, where that is given.
    pub between: Vec<(Payer, Option<Decimal>)>,
    /// By what.
    pub by: ShareBasis,
    /// Over which days.
    pub over: ShareOver,
    /// The first day of the rows that it is for, and of the records that it counts.
    pub from: Option<NaiveDate>,
    /// The last day.
    pub to: Option<NaiveDate>,
    /// Why so, in words.
    pub basis: String,
    /// When that was decided.
    pub decided: NaiveDate,
    /// Where it stands.
    pub source: Row,
}

impl Sharing {
    /// Whether it is for rows of `day`.
    #[must_use]
    pub fn holds(&self, day: NaiveDate) -> bool {
        self.from.is_none_or(|from| from <= day) && self.to.is_none_or(|to| day <= to)
    }
}
