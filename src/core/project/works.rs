//! Work done: hours and quantities.

use chrono::NaiveDate;

use crate::{
    project::{AreaId, Claims, Column, TableRow},
    source::Row,
    units::Hours,
};

/// How work was given.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Basis {
    /// Paid for.
    #[default]
    Paid,
    /// By volunteers.
    Volunteer,
    /// In kind.
    InKind,
}

impl Basis {
    /// Every basis.
    pub const ALL: [Basis; 3] = [Basis::Paid, Basis::Volunteer, Basis::InKind];

    /// The basis in words, as it is written in the works log.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Basis::Paid => "paid",
            Basis::Volunteer => "volunteer",
            Basis::InKind => "in kind",
        }
    }
}

/// One row of the works log.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    /// The day.
    pub date: NaiveDate,
    /// What was done, as written.
    pub task: String,
    /// Where; `None` is the whole site.
    pub area: Option<AreaId>,
    /// Hours of each person.
    pub hours: Option<Hours>,
    /// How many people.
    pub people: u32,
    /// Paid, volunteer or in kind.
    pub basis: Basis,
    /// Who worked, where the row is of one person.
    pub person: Option<String>,
    /// A quantity, such as 420 (metres of fence).
    pub quantity: Option<f64>,
    /// The quantity's unit, as written.
    pub unit: Option<String>,
    /// A note.
    pub note: Option<String>,
    /// The agreements that it names.
    pub claims: Claims,
    /// The row of the table.
    pub source: Row,
}

impl Work {
    /// Hours of everybody together.
    #[must_use]
    pub fn person_hours(&self) -> Hours {
        Hours(self.hours.unwrap_or_default().0 * f64::from(self.people))
    }
}

impl TableRow for Work {
    const TABLE: &'static str = "works";
    const COLUMNS: &'static [Column<Work>] = &[
        Column::needed("date", |row| row.date.into()),
        Column::needed("task", |row| (&row.task).into()),
        Column::optional("area", |row| row.area.as_ref().into()),
        Column::optional("hours", |row| row.hours.map(|hours| hours.0).into()),
        Column::optional("people", |row| row.people.into()),
        Column::optional("basis", |row| row.basis.words().into()),
        Column::optional("quantity", |row| row.quantity.into()),
        Column::optional("unit", |row| row.unit.as_ref().into()),
        Column::optional("note", |row| row.note.as_ref().into()),
        Column::where_used("person", |row| row.person.as_ref().into()),
        Column::where_used("agreement", |row| (&row.claims).into()),
    ];
}
