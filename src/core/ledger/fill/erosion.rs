//! Soil loss before, now and under closed canopy; the ratio; the soil kept.

use std::sync::Arc;

use crate::{
    estimate::{
        Gap,
        erosion::{SiteErosion, State},
    },
    ledger::{
        CellLoss, Ledger, Series, catalogue,
        fill::{FillContext, Scope},
    },
    units::{Erodibility, Erosivity},
};

/// Each state with the series of its soil loss.
const STATES: [(State, &Series); 3] = [
    (State::Before, &catalogue::EROSION_BEFORE),
    (State::Now, &catalogue::EROSION_NOW),
    (State::ClosedCanopy, &catalogue::EROSION_CLOSED_CANOPY),
];

/// The states of which C is a figure of its own.
const COVERS: [(State, &Series); 2] =
    [(State::Before, &catalogue::COVER_FACTOR_BEFORE), (State::Now, &catalogue::COVER_FACTOR_NOW)];

/// Enters the figures, and gives what is lost in every cell, where all that it needs is known.
pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>) -> Option<CellLoss> {
    let site = SiteErosion::of(context.project)?;
    let confidence = context.confidence;
    let r = site.r.as_ref().map(|r| r.estimate(confidence, Erosivity)).map_err(Gap::clone);
    ledger.enter_named(catalogue::EROSIVITY.named([]), r);
    let k = site.k.as_ref().map(|k| k.estimate(confidence, Erodibility)).map_err(Gap::clone);
    ledger.enter_named(catalogue::ERODIBILITY.named([]), k);
    for area in &site.areas {
        let scope = Scope { area: Some(&area.area.id) };
        let ls = area.ls.as_ref().map(|ls| ls.estimate(confidence, |ls| ls)).map_err(Gap::clone);
        ledger.enter_series(&catalogue::SLOPE_FACTOR, scope, ls);
        for (state, series) in STATES {
            ledger.enter_series(series, scope, site.loss(area, state));
        }
        for (state, series) in COVERS {
            let c = area.cover(state).map(|c| c.estimate(confidence, |c| c));
            ledger.enter_series(series, scope, c);
        }
        ledger.enter_series(&catalogue::EROSION_RATIO, scope, site.ratio(area));
        ledger.enter_series(&catalogue::SOIL_KEPT, scope, site.kept(area));
    }
    let all = Scope { area: None };
    for (state, series) in STATES {
        ledger.enter_series(series, all, site.joint_loss(state));
    }
    ledger.enter_series(&catalogue::EROSION_RATIO, all, site.joint_ratio());
    ledger.enter_series(&catalogue::SOIL_KEPT, all, site.joint_kept());
    let cells = |state| site.cells(state).map(Arc::new);
    Some(CellLoss { before: cells(State::Before)?, now: cells(State::Now)? })
}
