//! Soil loss before, now and under closed canopy; the ratio; the soil kept.

use std::sync::Arc;

use crate::{
    estimate::{
        Estimate, Gap,
        erosion::{OfArea, SiteErosion, State},
    },
    ledger::{
        CellLoss, Ledger, Series, catalogue,
        fill::{
            FillContext, Scope,
            rests::{By, Rests},
        },
    },
    project::{Period, PlotId},
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

/// What a figure of the cover now of `areas` rests on; nothing where no plot tells of it.
fn rests<'b>(context: &FillContext<'_>, scope: Scope<'_>, areas: &[&'b OfArea<'_>]) -> Option<Rests<'b>> {
    let read: Vec<(Period, &[PlotId])> = areas.iter().filter_map(|area| area.read()).collect();
    let round = Period {
        from: read.iter().map(|(round, _)| round.from).min()?,
        to: read.iter().map(|(round, _)| round.to).max()?,
    };
    let plots = read.iter().flat_map(|(_, plots)| plots.iter());
    Some(context.rests(scope, (round, None), plots, By::Ground))
}

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
        let rests = rests(context, scope, &[area]);
        let ratio = site.ratio(area).map(|ratio| match &rests {
            Some(rests) => Estimate { sample: Some(rests.sample()), ..ratio },
            None => ratio,
        });
        ledger.enter_series(&catalogue::EROSION_RATIO, scope, ratio);
        ledger.enter_series(&catalogue::SOIL_KEPT, scope, site.kept(area));
    }
    let all = Scope { area: None };
    // Where some ground is left out, the label says of how much the figure speaks, and a verdict reckons with the rest at its worst.
    let compared: Vec<&OfArea<'_>> = site.compared().collect();
    let rests = rests(context, all, &compared);
    let member = || rests.as_ref().map_or_else(|| all.into(), |rests| rests.member(all));
    for (state, series) in STATES {
        ledger.enter_named(series.named([member()]), site.joint_loss(state));
    }
    let sample = rests.as_ref().map(Rests::sample);
    let ratio = site.joint_ratio().map(|ratio| Estimate { sample: sample.or(ratio.sample), ..ratio });
    ledger.enter_named(catalogue::EROSION_RATIO.named([member()]), ratio);
    let kept = site.joint_kept().map(|kept| Estimate { sample: sample.or(kept.sample), ..kept });
    ledger.enter_named(catalogue::SOIL_KEPT.named([member()]), kept);
    let cells = |state| site.cells(state).map(Arc::new);
    Some(CellLoss { before: cells(State::Before)?, now: cells(State::Now)? })
}
