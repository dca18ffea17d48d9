//! Drawings of the plan that goes up the hill.

use crate::{
    draw::{Drawing, map::row_sheets},
    ledger::Ledger,
    plan::Plan,
    project::Project,
};

/// Maps of the rows, and the drawings that explain them.
#[must_use]
pub(crate) fn set_out(project: &Project, plan: &Plan, ledger: &Ledger) -> (Vec<Drawing>, Vec<Drawing>) {
    let maps = row_sheets(project, plan, ledger).into_iter().map(|map| map.drawing).collect();
    (maps, Vec::new())
}
