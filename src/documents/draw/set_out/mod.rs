//! Drawings of the plan that goes up the hill.

mod calendar;
mod dimension;
mod order;
mod pattern;
mod section;
mod tree;

use crate::draw::{
    Drawing,
    map::{layout::Paper, row_sheets},
};
use hillfolio_core::{ledger::Ledger, plan::Plan, project::Project};

/// Width of a drawing: that of a text page, mm.
const WIDTH: f64 = 170.0;

/// Maps of the rows for a document's pages, the same for A3, and the drawings that explain them: the section, the order along a row,
/// the calendar.
#[must_use]
pub(crate) fn set_out(project: &Project, plan: &Plan, ledger: &Ledger) -> [Vec<Drawing>; 3] {
    let maps = |paper: Paper| {
        let maps = row_sheets(project, plan, paper);
        maps.into_iter().map(|map| map.drawing).collect::<Vec<Drawing>>()
    };
    let drawings =
        [section::section(plan, ledger), pattern::pattern(plan), calendar::calendar(project, plan)];
    let (field, large) = rayon::join(|| maps(Paper::Field), || maps(Paper::Large));
    [field, large, drawings.into_iter().flatten().collect()]
}
