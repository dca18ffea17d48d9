//! Reconciliation: what two tables say of the same thing is compared; what differs is a doubt with both numbers, and stands at the
//! figures that it touches.

mod ground;
mod planted;
mod surveyed;
mod worked;

use crate::{
    ledger::{FigureId, Ledger},
    problem::{Agreement, Place, Problem},
    project::Project,
    units::percent,
};

/// Two accounts that differ, and the figures that rest on one of them.
struct Difference {
    kind: Agreement,
    place: Place,
    figures: Vec<FigureId>,
}

/// Compares the tables of `project`, and puts what differs into `ledger`: as doubts, and beside the figures.
pub(super) fn reconcile(ledger: &mut Ledger, project: &Project) {
    let mut found = Vec::new();
    planted::compare(ledger, project, &mut found);
    worked::compare(ledger, project, &mut found);
    ground::compare(ledger, project, &mut found);
    surveyed::compare(ledger, project, &mut found);
    for Difference { kind, place, figures } in found {
        let problem = Problem::new(kind, place);
        let says = problem.kind.to_string();
        figures.iter().for_each(|id| ledger.doubt(id, &says));
        ledger.doubts.push(problem);
    }
}

/// How far two numbers lie apart, as a part of the larger.
fn apart(one: f64, other: f64) -> f64 {
    let larger = one.abs().max(other.abs());
    if larger > 0.0 { (one - other).abs() / larger } else { 0.0 }
}

/// The same in words, such as `12.0 %`.
fn apart_text(one: f64, other: f64) -> String {
    percent(apart(one, other), 1)
}
