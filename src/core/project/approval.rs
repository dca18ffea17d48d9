//! The approval that an offset is done under, and what was promised in it.

use chrono::NaiveDate;

use crate::{
    project::{AreaId, Claims, Column, TableRow},
    source::Row,
    units::Hectares,
};

/// The approval, in the words of its own papers.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Approval {
    /// Who gave it.
    pub authority: Option<String>,
    /// Its number, where that is not the project's reference.
    pub reference: Option<String>,
    /// Who holds it.
    pub holder: Option<String>,
    /// The holder's company number.
    pub holder_number: Option<String>,
    /// What it is about: the protected matter, the clearing that is offset.
    pub matter: Option<String>,
    /// When it was given.
    pub approved: Option<NaiveDate>,
    /// When it ends.
    pub expires: Option<NaiveDate>,
    /// When the action began.
    pub started: Option<NaiveDate>,
    /// Title of the management plan.
    pub plan: Option<String>,
    /// Version of that plan.
    pub plan_version: Option<String>,
    /// What secures the land: the instrument and its date.
    pub security: Option<String>,
    /// Hectares that were approved.
    pub hectares: Option<Hectares>,
    /// Edition of the guideline that the report follows.
    pub guideline: Option<String>,
    /// Words to be signed, as the authority gives them.
    pub declaration: Option<String>,
}

/// How a commitment stands, as the holder says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Compliance {
    /// Kept.
    Compliant,
    /// Not kept.
    NonCompliant,
    /// Its day is still to come.
    NotYetDue,
    /// It does not bear on this period.
    NotApplicable,
}

impl Compliance {
    /// Every standing.
    pub const ALL: [Compliance; 4] =
        [Compliance::Compliant, Compliance::NonCompliant, Compliance::NotYetDue, Compliance::NotApplicable];

    /// The standing as it is written.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Compliance::Compliant => "compliant",
            Compliance::NonCompliant => "non-compliant",
            Compliance::NotYetDue => "not yet due",
            Compliance::NotApplicable => "not applicable",
        }
    }
}

/// A condition of the approval, or a commitment of the management plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Commitment {
    /// Its number, as the approval has it.
    pub number: String,
    /// What it asks, in words.
    pub words: String,
    /// Where it stands in the approval or the plan.
    pub clause: Option<String>,
    /// The day by which it must be kept.
    pub due: Option<NaiveDate>,
    /// How it stands, as the holder says; `None` where a target decides.
    pub status: Option<Compliance>,
    /// The target that decides.
    pub target: Option<String>,
    /// What shows it.
    pub evidence: Option<String>,
    /// Who answers for it.
    pub responsible: Option<String>,
    /// A comment.
    pub comment: Option<String>,
    /// The agreements that it names.
    pub claims: Claims,
    /// The row of the table.
    pub source: Row,
}

/// Work that is planned for the year to come.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedWork {
    /// The first day.
    pub from: NaiveDate,
    /// The last day.
    pub to: Option<NaiveDate>,
    /// What is to be done.
    pub task: String,
    /// Where; `None` is the whole site.
    pub area: Option<AreaId>,
    /// A quantity.
    pub quantity: Option<f64>,
    /// The quantity's unit, as written.
    pub unit: Option<String>,
    /// Who does it.
    pub who: Option<String>,
    /// A note.
    pub note: Option<String>,
    /// The agreements that it names.
    pub claims: Claims,
    /// The row of the table.
    pub source: Row,
}

impl TableRow for Commitment {
    const TABLE: &'static str = "commitments";
    const COLUMNS: &'static [Column<Commitment>] = &[
        Column::needed("number", |row| (&row.number).into()),
        Column::needed("words", |row| (&row.words).into()),
        Column::optional("clause", |row| row.clause.as_ref().into()),
        Column::optional("due", |row| row.due.into()),
        Column::optional("status", |row| row.status.map(Compliance::words).into()),
        Column::optional("target", |row| row.target.as_ref().into()),
        Column::optional("evidence", |row| row.evidence.as_ref().into()),
        Column::optional("comment", |row| row.comment.as_ref().into()),
        Column::where_used("responsible", |row| row.responsible.as_ref().into()),
        Column::where_used("agreement", |row| (&row.claims).into()),
    ];
}

impl TableRow for PlannedWork {
    const TABLE: &'static str = "programme";
    const COLUMNS: &'static [Column<PlannedWork>] = &[
        Column::needed("from", |row| row.from.into()),
        Column::needed("task", |row| (&row.task).into()),
        Column::optional("to", |row| row.to.into()),
        Column::optional("area", |row| row.area.as_ref().into()),
        Column::optional("quantity", |row| row.quantity.into()),
        Column::optional("unit", |row| row.unit.as_ref().into()),
        Column::optional("who", |row| row.who.as_ref().into()),
        Column::optional("note", |row| row.note.as_ref().into()),
        Column::where_used("agreement", |row| (&row.claims).into()),
    ];
}
