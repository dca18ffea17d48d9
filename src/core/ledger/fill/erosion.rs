//! Soil loss before, now and under closed canopy; the ratio; the soil kept.

use std::sync::Arc;

use crate::{
    estimate::{
        Gap,
        erosion::{SiteErosion, State},
    },
    ledger::{
        CellLoss, FigureId, Ledger,
        fill::{FillContext, Scope},
    },
    units::{Erodibility, Erosivity, Unit},
};

/// Each state with its id and its name on paper.
const STATES: [(State, &str, &str); 3] = [
    (State::Before, "erosion.before", "Soil loss before the work began"),
    (State::Now, "erosion.now", "Soil loss now"),
    (State::ClosedCanopy, "erosion.closed-canopy", "Soil loss once the canopy has closed"),
];

/// The states of which C is a figure of its own.
const COVERS: [(State, &str, &str); 2] = [
    (State::Before, "erosion.c.before", "Cover factor C before the work began"),
    (State::Now, "erosion.c.now", "Cover factor C now"),
];

const RATIO: (&str, &str) = ("erosion.ratio", "Soil loss now over before");
const KEPT: (&str, &str) = ("erosion.kept", "Soil kept on the slope in a year");

/// Enters the figures, and gives what is lost in every cell, where all that it needs is known.
pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>) -> Option<CellLoss> {
    let site = SiteErosion::of(context.project)?;
    let confidence = context.confidence;
    let r = site.r.as_ref().map(|r| r.estimate(confidence, Erosivity)).map_err(Gap::clone);
    ledger.enter(FigureId::fixed("erosion.r"), "Rainfall erosivity R", Unit::Erosivity, r);
    let k = site.k.as_ref().map(|k| k.estimate(confidence, Erodibility)).map_err(Gap::clone);
    ledger.enter(FigureId::fixed("erosion.k"), "Soil erodibility K", Unit::Erodibility, k);
    for area in &site.areas {
        let scope = Scope { area: Some(&area.area.id) };
        let ls = area.ls.as_ref().map(|ls| ls.estimate(confidence, |ls| ls)).map_err(Gap::clone);
        ledger.enter_scope("erosion.ls", "Slope factor LS", scope, Unit::Number, ls);
        for (state, stem, what) in STATES {
            ledger.enter_scope(stem, what, scope, Unit::SoilLoss, site.loss(area, state));
        }
        for (state, stem, what) in COVERS {
            let c = area.cover(state).map(|c| c.estimate(confidence, |c| c));
            ledger.enter_scope(stem, what, scope, Unit::CoverFactor, c);
        }
        ledger.enter_scope(RATIO.0, RATIO.1, scope, Unit::Fraction, site.ratio(area));
        ledger.enter_scope(KEPT.0, KEPT.1, scope, Unit::TonnesPerYear, site.kept(area));
    }
    let all = Scope { area: None };
    for (state, stem, what) in STATES {
        ledger.enter_scope(stem, what, all, Unit::SoilLoss, site.joint_loss(state));
    }
    ledger.enter_scope(RATIO.0, RATIO.1, all, Unit::Fraction, site.joint_ratio());
    ledger.enter_scope(KEPT.0, KEPT.1, all, Unit::TonnesPerYear, site.joint_kept());
    let cells = |state| site.cells(state).map(Arc::new);
    Some(CellLoss { before: cells(State::Before)?, now: cells(State::Now)? })
}
