//! Why a line of the budget or a target came out as it did, in the words of those who know.

use crate::{
    project::{Claims, Column, TableRow},
    source::Row,
};

/// One row of the table of reasons: about a line, a target, or both.
#[derive(Debug, Clone, PartialEq)]
pub struct Reason {
    /// The line of the budget.
    pub line: Option<String>,
    /// The target, by its id.
    pub target: Option<String>,
    /// The reason, in words.
    pub words: String,
    /// Whose it is, where a place has several agreements.
    pub claims: Claims,
    /// The row of the table.
    pub source: Row,
}

impl TableRow for Reason {
    const TABLE: &'static str = "reasons";
    const COLUMNS: &'static [Column<Reason>] = &[
        Column::needed("words", |row| (&row.words).into()),
        Column::optional("line", |row| row.line.as_ref().into()),
        Column::optional("target", |row| row.target.as_ref().into()),
        Column::where_used("agreement", |row| (&row.claims).into()),
    ];
}
