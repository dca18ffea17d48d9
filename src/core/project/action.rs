//! What went wrong, what was changed, and what was done about it.

use chrono::NaiveDate;

use crate::{
    project::{AreaId, Claims, Column, TableRow},
    source::Row,
};

/// What an action answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Occasion {
    /// A trigger of a target was passed.
    Trigger,
    /// A condition or a commitment was not kept.
    NonConformance,
    /// Fire, flood, frost, slip, stock, drift and the like.
    Incident,
    /// The plan was changed.
    Change,
}

impl Occasion {
    /// Every occasion.
    pub const ALL: [Occasion; 4] =
        [Occasion::Trigger, Occasion::NonConformance, Occasion::Incident, Occasion::Change];

    /// The occasion as it is written in the table.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Occasion::Trigger => "trigger",
            Occasion::NonConformance => "non-conformance",
            Occasion::Incident => "incident",
            Occasion::Change => "change",
        }
    }
}

/// One row of the table of actions.
#[derive(Debug, Clone, PartialEq)]
pub struct Action {
    /// When it happened or was found.
    pub date: NaiveDate,
    /// What it answers.
    pub occasion: Occasion,
    /// What happened.
    pub what: String,
    /// Where; `None` is the whole site.
    pub area: Option<AreaId>,
    /// The target whose trigger it was.
    pub target: Option<String>,
    /// When the authority was told.
    pub notified: Option<NaiveDate>,
    /// Why it happened.
    pub cause: Option<String>,
    /// What came of it.
    pub consequence: Option<String>,
    /// What was done.
    pub response: Option<String>,
    /// When that was finished; `None` where it is not.
    pub done: Option<NaiveDate>,
    /// What the response brought.
    pub effect: Option<String>,
    /// The agreements that it names.
    pub claims: Claims,
    /// The row of the table.
    pub source: Row,
}

impl TableRow for Action {
    const TABLE: &'static str = "actions";
    const COLUMNS: &'static [Column<Action>] = &[
        Column::needed("date", |row| row.date.into()),
        Column::needed("occasion", |row| row.occasion.words().into()),
        Column::needed("what", |row| (&row.what).into()),
        Column::optional("area", |row| row.area.as_ref().into()),
        Column::optional("target", |row| row.target.as_ref().into()),
        Column::optional("notified", |row| row.notified.into()),
        Column::optional("cause", |row| row.cause.as_ref().into()),
        Column::optional("consequence", |row| row.consequence.as_ref().into()),
        Column::optional("response", |row| row.response.as_ref().into()),
        Column::optional("done", |row| row.done.into()),
        Column::optional("effect", |row| row.effect.as_ref().into()),
        Column::where_used("agreement", |row| (&row.claims).into()),
    ];
}
