//! Survey after survey: survival, densities, cover and heights of each round, what changed between rounds, how long tagged stems
//! live.

use crate::{
    estimate::{
        Estimate, Gap, Method, cover,
        density::{self, Counted},
        height,
        plantings::Log,
        survival::{self, MissingAs},
        tagged::{Tagged, at_risk, lives, tagged},
        visit::{self, Found, Visit},
    },
    ledger::{
        Ledger, Member, Series, catalogue,
        fill::{FillContext, Scope, rests::By, survival::within as planted_within},
    },
    project::{Period, slug},
    units::{Count, day},
};

pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>) {
    let rounds: Vec<Round<'_>> =
        context.project.rounds().into_iter().map(|span| Round::of(context, span)).collect();
    // With a single round every figure of it stands in the ledger already.
    if rounds.len() > 1 {
        for round in &rounds {
            round.enter(ledger, context);
        }
        for pair in rounds.windows(2) {
            change(ledger, context, &pair[0], &pair[1]);
        }
        let spans: Vec<Period> = rounds.iter().map(|round| round.span).collect();
        tagged_stems(ledger, context, &spans);
    }
}

/// One round of survey.
struct Round<'a> {
    span: Period,
    visits: Vec<Visit<'a>>,
    found: Vec<Found<'a>>,
    /// What had been planted by its end.
    log: Log<'a>,
}

impl<'a> Round<'a> {
    fn of(context: &FillContext<'a>, span: Period) -> Round<'a> {
        let visits = visit::within(context.project, span);
        let found = visit::survey(&visits, |_, _| None).whole;
        Round { span, visits, found, log: Log::until(context.project, span.to) }
    }

    fn found(&self, scope: Scope<'_>) -> Vec<&Found<'a>> {
        self.found.iter().filter(|found| scope.holds(&found.plot.area)).collect()
    }

    fn visits(&self, scope: Scope<'_>) -> Vec<&Visit<'a>> {
        self.visits.iter().filter(|visit| scope.holds(&visit.plot.area)).collect()
    }

    /// Every figure of the round, under the last of its days.
    fn enter(&self, ledger: &mut Ledger, context: &FillContext<'_>) {
        let (date, sure) = (self.span.to, context.confidence);
        for scope in context.areas() {
            let visits = self.visits(scope);
            if visits.is_empty() {
                continue;
            }
            let tallies = visits.iter().flat_map(|visit| &visit.tallies);
            let sources = tallies.map(|tally| &tally.source).collect();
            let plots = Estimate::counted(Count(visits.len() as u64), Method::DISTINCT, sources);
            let of = |series: &Series, scope: Member| series.named([date.into(), scope]);
            ledger.enter_named(of(&catalogue::PLOTS_VISITED, scope.into()), Ok(plots));
            let planted = planted_within(&self.log.stems, scope);
            let found = self.found(scope);
            let share = survival::survival(&found, &planted, MissingAs::Dead, sure);
            let told = found.iter().filter(|found| found.set.is_some()).map(|found| &found.plot.id);
            let rests = context.rests(scope, (self.span, None), told, By::Stems(&self.log.stems));
            ledger.enter_named(of(&catalogue::SURVIVAL_AT, rests.member(scope)), rests.under(share));
            let plots = visits.iter().map(|visit| &visit.plot.id);
            let rests = context.rests(scope, (self.span, None), plots, By::Ground);
            for (counted, series) in
                [(Counted::Living, &catalogue::DENSITY_AT), (Counted::Recruits, &catalogue::RECRUITS_AT)]
            {
                let density = density::density(&visits, &context.grounds, counted, sure);
                ledger.enter_named(of(series, rests.member(scope)), rests.under(density));
            }
        }
        self.cover(ledger, context);
        for (species, heights) in height::within(context.project, self.span, |stem| Some(&stem.species)) {
            let median = height::median(&heights, sure);
            ledger.enter_named(catalogue::HEIGHT_AT.named([date.into(), species.into()]), median);
        }
    }

    fn cover(&self, ledger: &mut Ledger, context: &FillContext<'_>) {
        let date = self.span.to;
        let names = cover::names(context.project, slug);
        for ((layer, cover), covered) in cover::within(context.project, self.span, slug) {
            let name = names.get(&(layer, cover.clone())).copied().unwrap_or(&cover);
            for scope in context.areas() {
                let here = covered.within(|area| scope.holds(area)).read;
                if here.is_empty() {
                    continue;
                }
                let member = Member::new(cover.as_str(), name);
                let rests = context.rests(
                    scope,
                    (self.span, None),
                    here.iter().map(|reading| &reading.plot.id),
                    By::Ground,
                );
                let member = [date.into(), layer.word().into(), member, rests.member(scope)];
                let share = cover::cover(&here, &context.grounds, context.confidence);
                ledger.enter_named(catalogue::COVER_AT.named(member), rests.under(share));
            }
        }
    }
}

/// What changed between one round and the next, over the plots of both.
fn change(ledger: &mut Ledger, context: &FillContext<'_>, before: &Round<'_>, now: &Round<'_>) {
    for scope in context.areas() {
        let planted = planted_within(&now.log.stems, scope);
        let (now_found, then_found) = (now.found(scope), before.found(scope));
        let change = survival::change(&now_found, &then_found, &planted, context.confidence);
        if change == Err(Gap::NoPair) {
            continue;
        }
        let against = Member::from(now.span.to).said(|to| format!("{to} against {}", day(before.span.to)));
        ledger.enter_named(catalogue::SURVIVAL_CHANGE.named([against, scope.into()]), change);
    }
}

/// The share of tagged stems that live past each time at which one was seen; nothing where stems bear no tags.
fn tagged_stems(ledger: &mut Ledger, context: &FillContext<'_>, rounds: &[Period]) {
    let stems = tagged(context.project, rounds);
    let areas: std::collections::BTreeMap<_, _> =
        context.project.plots.iter().map(|plot| (&plot.id, &plot.area)).collect();
    let after = |days| Member::new(format!("{days}-days"), format!("{days} days"));
    for scope in context.areas() {
        let here = |stem: &&Tagged<'_>| areas.get(stem.plot).is_some_and(|area| scope.holds(area));
        let here: Vec<&Tagged<'_>> = stems.iter().filter(here).collect();
        let Ok(lives) = lives(&here, context.confidence) else { continue };
        // At the beginning every stem lives, which is no finding; how many there are is one.
        for days in std::iter::once(0).chain(lives.iter().map(|(days, _)| *days)) {
            let named = catalogue::TAGGED_AT_RISK.named([after(days), scope.into()]);
            ledger.enter_named(named, Ok(at_risk(&here, days)));
        }
        for (days, share) in lives {
            let named = catalogue::TAGGED_SURVIVAL.named([after(days), scope.into()]);
            ledger.enter_named(named, Ok(share));
        }
    }
}
