//! What a survey's figure rests on, said at the number: its round, its plots, and the part of the ground they stand for.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    estimate::{
        Finding, Method, Sample, listed,
        visit::{Round, Visit},
    },
    ledger::{
        Member,
        fill::{FillContext, Scope},
    },
    project::{AreaId, Period, PlotId},
    units::{day, percent, span},
};

/// What a figure of the plots of a scope rests on.
pub(super) struct Rests<'a> {
    round: Period,
    plots: BTreeSet<&'a PlotId>,
    /// Plots of the scope that the round did not visit.
    missed: Vec<String>,
    /// Areas that plots tell of, and all, where some are left out.
    areas: Option<(usize, usize)>,
    /// The part of the ground or of the stems that they make up.
    part: f64,
    /// Of what.
    of: &'static str,
    /// The day of an area's own round, where the latest round of all did not visit it.
    older: Option<Period>,
}

/// By what the areas of a figure weigh.
#[derive(Clone, Copy)]
pub(super) enum By<'a, 'b> {
    /// Their plan hectares.
    Ground,
    /// Stems planted in them.
    Stems(&'b BTreeMap<&'a AreaId, u64>),
}

impl<'a> FillContext<'a> {
    /// The latest round that visited a plot of `scope`.
    pub(super) fn round(&self, scope: Scope<'_>) -> Option<&Round<'a>> {
        self.rounds.iter().rev().find(|round| round.visits.iter().any(|visit| scope.holds(&visit.plot.area)))
    }

    /// The visits of that round in `scope`.
    pub(super) fn visits(&self, scope: Scope<'_>) -> Vec<&Visit<'a>> {
        let visits = self.round(scope).into_iter().flat_map(|round| &round.visits);
        visits.filter(|visit| scope.holds(&visit.plot.area)).collect()
    }

    /// What a figure of `scope` rests on that `plots` tell of, as the round `round` saw them; `latest` is the latest round of its kind.
    #[allow(clippy::cast_precision_loss, reason = "no folder holds 2^53 stems")]
    pub(super) fn rests<'b>(
        &self,
        scope: Scope<'_>,
        (round, latest): (Period, Option<Period>),
        plots: impl IntoIterator<Item = &'b PlotId>,
        by: By<'_, '_>,
    ) -> Rests<'b> {
        let plots: BTreeSet<&PlotId> = plots.into_iter().collect();
        let of_scope = || self.project.plots.iter().filter(|plot| scope.holds(&plot.area));
        let seen: BTreeSet<&AreaId> =
            of_scope().filter(|plot| plots.contains(&plot.id)).map(|plot| &plot.area).collect();
        let missed = of_scope().filter(|plot| !plots.contains(&plot.id)).map(|plot| plot.id.to_string());
        let missed: Vec<String> = missed.collect();
        let weight = |area: &AreaId| match by {
            By::Ground => self.grounds.get(area).map_or(0.0, |ground| ground.plan.0),
            By::Stems(stems) => stems.get(area).copied().unwrap_or_default() as f64,
        };
        let weights: Vec<(&AreaId, f64)> = self
            .project
            .areas
            .iter()
            .filter(|area| scope.holds(&area.id))
            .map(|area| (&area.id, weight(&area.id)))
            .filter(|(_, weight)| *weight > 0.0)
            .collect();
        let all: f64 = weights.iter().map(|(_, weight)| weight).sum();
        let told = || weights.iter().filter(|(area, _)| seen.contains(area));
        let part = if all > 0.0 { told().map(|(_, weight)| weight).sum::<f64>() / all } else { 1.0 };
        Rests {
            round,
            plots,
            missed,
            areas: (told().count() < weights.len()).then(|| (told().count(), weights.len())),
            part,
            of: match by {
                By::Ground => "ground",
                By::Stems(_) => "stems planted",
            },
            older: Some(round)
                .filter(|_| scope.area.is_some() && latest.is_some_and(|latest| latest != round)),
        }
    }
}

impl Rests<'_> {
    /// The scope as it is said in the figure's label.
    pub(super) fn member(&self, scope: Scope<'_>) -> Member {
        Member::from(scope).said(|said| match (self.areas, self.older) {
            (Some((told, all)), _) if scope.area.is_none() => {
                format!("{told} of {all} areas, {} of the {}", percent(self.part, 0), self.of)
            }
            (_, Some(older)) => format!("{said}, survey to {}", day(older.to)),
            _ => said.to_owned(),
        })
    }

    /// What a verdict on the figure has to reckon with.
    pub(super) fn sample(&self) -> Sample {
        Sample { plots: self.plots.len(), round: self.round, part: self.part }
    }

    /// `finding` with what it rests on.
    pub(super) fn under<Q>(&self, finding: Finding<Q>) -> Finding<Q> {
        let mut estimate = finding?;
        let census = [Method::SURVIVAL_CENSUS, Method::DENSITY_CENSUS].contains(&estimate.method);
        if !census || self.areas.is_some() {
            estimate.sample = Some(self.sample());
        }
        let missed = match self.missed.is_empty() {
            true => String::new(),
            false => format!("; not visited in it: {}", listed(&self.missed)),
        };
        estimate.notes.push(format!("survey of {}{missed}", span(self.round.from, self.round.to)));
        Ok(estimate)
    }
}
