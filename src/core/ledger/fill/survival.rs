//! Survival by area, species and cohort.

use std::collections::BTreeMap;

use crate::{
    estimate::{
        Estimate, Finding, Gap, Method,
        plantings::{ByArea, Log, Planted},
        survival::{MissingAs, survival},
        visit::{Found, survey},
    },
    ledger::{
        Ledger, catalogue,
        fill::{FillContext, Scope, rests::By},
    },
    project::PlotId,
    units::{Share, Stems, whole},
};

/// Enters survival and gives back that of all areas, on which costs per stem rest.
pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>) -> Finding<Share> {
    let (log, confidence) = (&context.log, context.confidence);
    let latest = context.rounds.last();
    let visits = latest.into_iter().flat_map(|round| &round.visits);
    let sorted = survey(visits, |visit, tally| tally.cohort.or_else(|| log.only_cohort(&visit.plot.area)));
    let days = latest.map(|round| round.days);
    // What is planted after a survey was not there to be counted, and weighs nothing in it.
    let there = days.map(|days| Log::until(context.project, days.to));
    let there = there.filter(|there| {
        let set = sorted.whole.iter().filter(|found| found.set.is_some_and(|set| set > 0));
        set.map(|found| &found.plot.area).all(|area| there.stems.contains_key(area))
    });
    let weights = there.as_ref().unwrap_or(log);
    let mut in_all = Err(Gap::NotSurveyed);
    for scope in context.areas() {
        let here = survey(context.visits(scope), |_, _| None).whole;
        let found: Vec<&Found<'_>> = here.iter().collect();
        let rests = context
            .round(scope)
            .map(|round| context.rests(scope, (round.days, days), plots(&found), By::Stems(&log.stems)));
        let member = rests.as_ref().map_or_else(|| scope.into(), |rests| rests.member(scope));
        let planted = within(&weights.stems, scope);
        let later = within(&log.stems, scope).values().sum::<u64>() - planted.values().sum::<u64>();
        let rows = match scope.area {
            Some(area) => weights.areas.get(area),
            None => Some(&weights.whole),
        };
        let share = |missing_as| {
            let share = from_log(survival(&found, &planted, missing_as, confidence), rows);
            let share = share.map(|share| match later {
                0 => share,
                later => share.note(format!(
                    "{} stems were planted after the survey: they do not weigh in it, and how they do is not known",
                    whole(later)
                )),
            });
            rests.as_ref().map_or(share.clone(), |rests| rests.under(share))
        };
        let headline = share(MissingAs::Dead);
        if scope.area.is_none() {
            in_all.clone_from(&headline);
        }
        ledger.enter_named(catalogue::SURVIVAL.named([member.clone()]), headline);
        ledger.enter_named(catalogue::SURVIVAL_BOUND.named([member]), share(MissingAs::Alive));
    }
    let nothing = (ByArea::new(), Vec::new());
    let (no_areas, no_plots) = (&nothing.0, &nothing.1);
    // Everything that was planted has its line, and so has what was found in plots without standing in the log.
    let all = Scope { area: None };
    let rest = |share, found: &[&Found<'_>], planted: &ByArea<'_>| match days {
        Some(round) => context.rests(all, (round, days), plots(found), By::Stems(planted)).under(share),
        None => share,
    };
    for species in merged_keys(&log.species, &sorted.species) {
        let found: Vec<&Found<'_>> = sorted.species.get(species).unwrap_or(no_plots).iter().collect();
        let planted = of_day(&weights.species_stems, &log.species_stems, &species).unwrap_or(no_areas);
        if let Some([set, alive]) = counted(&found) {
            ledger.enter_named(catalogue::SPECIES_SET_IN_PLOTS.named([species.into()]), Ok(set));
            ledger.enter_named(catalogue::SPECIES_ALIVE_IN_PLOTS.named([species.into()]), Ok(alive));
        }
        let share = survival(&found, planted, MissingAs::Dead, confidence);
        let share = rest(from_log(share, log.species.get(species)), &found, planted);
        ledger.enter_named(catalogue::SPECIES_SURVIVAL.named([species.into()]), share);
    }
    for year in merged_keys(&log.cohorts, &sorted.cohorts) {
        let found: Vec<&Found<'_>> = sorted.cohorts.get(&year).unwrap_or(no_plots).iter().collect();
        let planted = of_day(&weights.cohort_stems, &log.cohort_stems, &year).unwrap_or(no_areas);
        let share = survival(&found, planted, MissingAs::Dead, confidence).map_err(|gap| match gap {
            Gap::NotSurveyed => undated(&sorted.whole, planted),
            gap => gap,
        });
        let share = rest(from_log(share, log.cohorts.get(&year)), &found, planted);
        ledger.enter_named(catalogue::COHORT_SURVIVAL.named([year.into()]), share);
    }
    in_all
}

/// Stems of `key` to the day of the survey; of what was planted later alone, all of them.
fn of_day<'b, 'a, K: Ord>(
    there: &'b BTreeMap<K, ByArea<'a>>,
    log: &'b BTreeMap<K, ByArea<'a>>,
    key: &K,
) -> Option<&'b ByArea<'a>> {
    there.get(key).or_else(|| log.get(key))
}

/// Why nothing was found of stems `planted` on ground whose plots were surveyed all the same: their tallies do not say of which year they are.
fn undated(found: &[Found<'_>], planted: &ByArea<'_>) -> Gap {
    match found.iter().filter(|found| planted.contains_key(&found.plot.area)).count() {
        0 => Gap::NotSurveyed,
        plots => Gap::CohortNotStated(plots),
    }
}

/// The plots of which it is told how many stems were set in them.
fn plots<'b>(found: &'b [&Found<'_>]) -> impl Iterator<Item = &'b PlotId> {
    found.iter().filter(|found| found.set.is_some_and(|set| set > 0)).map(|found| &found.plot.id)
}

/// Stems set in the plots where that is known, and those of them found alive; `None` where it is known of no plot.
fn counted(found: &[&Found<'_>]) -> Option<[Estimate<Stems>; 2]> {
    let told: Vec<(u64, &Found<'_>)> = found.iter().filter_map(|found| Some((found.set?, *found))).collect();
    let rows = || told.iter().flat_map(|(_, found)| found.rows.iter().copied()).collect();
    let of = |stems: u64| Estimate::counted(Stems(stems), Method::SUM, rows());
    let set = told.iter().map(|(set, _)| set).sum();
    let alive = told.iter().map(|(_, found)| found.alive).sum();
    (!told.is_empty()).then(|| [of(set), of(alive)])
}

/// `share` with the rows of the planting log that weight it.
fn from_log(share: Finding<Share>, planted: Option<&Planted<'_>>) -> Finding<Share> {
    let mut share = share?;
    share.sources.join(&planted.map(Planted::sources).unwrap_or_default());
    Ok(share)
}

pub(crate) fn within<'a>(stems: &ByArea<'a>, scope: Scope<'_>) -> ByArea<'a> {
    stems.iter().filter(|(area, _)| scope.holds(area)).map(|(&area, &stems)| (area, stems)).collect()
}

fn merged_keys<K: Ord + Copy, A, B>(one: &BTreeMap<K, A>, other: &BTreeMap<K, B>) -> Vec<K> {
    let mut keys: Vec<K> = one.keys().chain(other.keys()).copied().collect();
    keys.sort_unstable();
    keys.dedup();
    keys
}
