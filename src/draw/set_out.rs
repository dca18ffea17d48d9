//! Drawings of the plan that goes up the hill.

use crate::{draw::Drawing, ledger::Ledger, plan::Plan, project::Project};

/// Maps of the rows, and the drawings that explain them.
#[must_use]
pub(crate) fn set_out(_project: &Project, _plan: &Plan, _ledger: &Ledger) -> (Vec<Drawing>, Vec<Drawing>) {
    (Vec::new(), Vec::new())
}
