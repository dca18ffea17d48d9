//! Reconciliation: what two tables say of the same thing is compared; what differs is a doubt with both numbers, and stands at the
//! figures that it touches.

mod ground;
mod planted;
mod rained;
mod surveyed;
mod worked;

use crate::{
    ledger::{FigureId, Ledger, catalogue, rival::Rival},
    problem::{Agreement, Kind, Place, Problem},
    project::Project,
    source::Row,
    units::percent,
};

/// Two accounts that differ, and the figures that rest on one of them.
struct Difference {
    /// What to say, and where; nothing where they differ by no more than such accounts do.
    doubt: Option<(Agreement, Place)>,
    figures: Vec<FigureId>,
    /// What figures would be by the other account.
    rivals: Vec<(FigureId, Rival)>,
}

/// Compares the tables of `project`, and puts what differs into `ledger`: as doubts, and beside the figures.
pub(super) fn reconcile(ledger: &mut Ledger, project: &Project) {
    let mut found = Vec::new();
    planted::compare(ledger, project, &mut found);
    worked::compare(ledger, project, &mut found);
    ground::compare(ledger, project, &mut found);
    surveyed::compare(ledger, project, &mut found);
    rained::compare(ledger, project, &mut found);
    for Difference { doubt, figures, rivals } in found {
        ledger.rivals.extend(rivals);
        let Some((kind, place)) = doubt else { continue };
        let problem = Problem::new(kind, place);
        let says = problem.kind.to_string();
        figures.iter().for_each(|id| ledger.doubt(id, &says));
        ledger.doubts.push(problem);
    }
}

/// Puts what was found before the soil was worked out beside its figures.
pub(super) fn at_the_soil(ledger: &mut Ledger, project: &Project) {
    let says = |problem: &Problem| {
        matches!(problem.kind, Kind::Agreement(Agreement::ErosivityUnlikeRain { .. }))
            .then(|| problem.kind.to_string())
    };
    let Some(says) = ledger.doubts.iter().find_map(says) else { return };
    ledger.doubt(&catalogue::EROSIVITY.whole(), &says);
    // What was lost before, and the part of it that is lost now, are told apart: erosivity is in both, and in no ratio.
    let series = [
        &catalogue::EROSION_BEFORE,
        &catalogue::EROSION_NOW,
        &catalogue::EROSION_CLOSED_CANOPY,
        &catalogue::SOIL_KEPT,
    ];
    for series in series {
        for area in project.areas.iter().map(|area| Some(&area.id)).chain([None]) {
            ledger.doubt(&series.of(area), &says);
        }
    }
}

/// How far two numbers lie apart, as a part of the larger.
fn apart(one: f64, other: f64) -> f64 {
    let larger = one.abs().max(other.abs());
    if larger > 0.0 { (one - other).abs() / larger } else { 0.0 }
}

/// How near the number of a row comes to a gap that it would close (common practice, no source).
const CLOSES: f64 = 0.02;

/// The one row whose number is the gap between two accounts, in words; nothing where none or several are.
fn closing<'a>(gap: f64, rows: impl Iterator<Item = (f64, &'a Row)>) -> String {
    let mut near = rows.filter(|(number, _)| apart(*number, gap) <= CLOSES);
    match (near.next(), near.next()) {
        (Some((number, row)), None) => {
            let near = if apart(number, gap) > 0.0 { "near enough " } else { "" };
            format!("; row {} of {} alone is {near}the difference", row.row, row.file)
        }
        _ => String::new(),
    }
}

/// The same in words, such as `12.0 %`.
fn apart_text(one: f64, other: f64) -> String {
    percent(apart(one, other), 1)
}
