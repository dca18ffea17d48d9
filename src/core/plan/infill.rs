//! Infill: what of earlier plantings has died, and what must be set again so that targets are met.

use std::collections::BTreeMap;

use crate::{
    estimate::{
        Estimate, Finding, Interval, Method,
        plantings::{ByArea, Log},
        survival::{MissingAs, survival},
        visit::{self, Found, Survey},
    },
    geometry,
    plan::quotas::largest_remainder,
    project::{AreaId, Bound, Measure, PlotId, Project, SpeciesId, Target},
    source::Sources,
    units::{Hectares, Share, Stems, number, percent, whole},
};

/// Infill of one area.
#[derive(Debug, Clone, PartialEq)]
pub struct AreaInfill {
    /// The area.
    pub area: AreaId,
    /// Stems planted to date.
    pub planted: Stems,
    /// Stems of them that died.
    pub dead: Finding<Stems>,
    /// Stems to set.
    pub stems: Finding<Stems>,
    /// Of each species: stems that died, stems to set.
    pub species: Vec<(SpeciesId, Stems, Stems)>,
    /// Plots with stems that died, those that lost the largest share first.
    pub plots: Vec<PlotLoss>,
}

/// What a plot lost.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlotLoss {
    /// The plot.
    pub plot: PlotId,
    /// Stems that had been set in it.
    pub set: Stems,
    /// Dead or missing.
    pub lost: Stems,
}

/// What an area asks for, before it is rounded to stems.
struct Asked<'a> {
    area: &'a AreaId,
    planted: f64,
    hectares: f64,
    alive: Finding<Share>,
    found: Vec<&'a Found<'a>>,
}

/// The infill of every area that was planted, from the latest survey.
///
/// # Equations and sources
/// [`Method::INFILL`].
#[must_use]
pub fn infill(project: &Project) -> Vec<AreaInfill> {
    let log = Log::read(project);
    let visits = visit::rounds(project).pop().map(|round| round.visits).unwrap_or_default();
    let survey = visit::survey(&visits, |_, _| None);
    let confidence = project.statistics.confidence;
    let planted = project.areas.iter().filter_map(|area| Some((area, *log.stems.get(&area.id)?)));
    let asked: Vec<Asked<'_>> = planted
        .filter(|(_, stems)| *stems > 0)
        .map(|(area, stems)| {
            let found: Vec<&Found<'_>> = survey.whole.iter().filter(|one| one.plot.area == area.id).collect();
            let own = ByArea::from([(&area.id, stems)]);
            Asked {
                area: &area.id,
                planted: stems as f64,
                hectares: Hectares::from(geometry::area(&area.boundary)).0,
                alive: survival(&found, &own, MissingAs::Dead, confidence),
                found,
            }
        })
        .collect();
    let targets: Vec<&Target> = project.targets.iter().filter(|target| least(target).is_some()).collect();
    let needs = |share: fn(&Estimate<Share>) -> f64| needed(&asked, &targets, share);
    let value = needs(|alive| alive.value.part());
    let high = needs(|alive| alive.interval.as_ref().map_or(alive.value, |ends| ends.low).part());
    let low = needs(|alive| alive.interval.as_ref().map_or(alive.value, |ends| ends.high).part());
    let sources = |area: &AreaId| log.areas.get(area).map(|planted| planted.sources()).unwrap_or_default();
    (0..asked.len())
        .map(|at| {
            let one = &asked[at];
            let stems = one.alive.clone().map(|alive| {
                to_set(&alive, [low[at], value[at], high[at]], sources(one.area), &targets, one.area)
            });
            let dead = one.alive.clone().map(|alive| dead(one.planted, &alive, sources(one.area)));
            AreaInfill {
                area: one.area.clone(),
                planted: Stems(one.planted as u64),
                species: by_species(
                    one,
                    &log,
                    &survey,
                    confidence,
                    stems.as_ref().map_or(0, |stems| stems.value.0),
                ),
                plots: plots(&one.found),
                dead,
                stems,
            }
        })
        .collect()
}

/// What a target on living stems asks for, a share or stems a hectare.
fn least(target: &Target) -> Option<f64> {
    match (&target.measure, target.bound) {
        (Measure::Survival, Bound::AtLeast(least)) => Some(least),
        (measure, Bound::AtLeast(least)) if measure.is_density() => Some(least),
        _ => None,
    }
}

/// Living stems that are short in each area, by a share alive of each: by targets of the area's own, then, by what died in each, what
/// targets on all areas ask for beyond that; where no target asks for any, whatever died.
fn needed(asked: &[Asked<'_>], targets: &[&Target], share: fn(&Estimate<Share>) -> f64) -> Vec<f64> {
    let alive = |one: &Asked<'_>| one.alive.as_ref().ok().map(|alive| one.planted * share(alive));
    let wanted = |target: &Target, planted: f64, hectares: f64| {
        let least = least(target).unwrap_or(0.0);
        if target.measure.is_density() { least * hectares } else { least * planted }
    };
    if targets.is_empty() {
        return asked.iter().map(|one| alive(one).map_or(0.0, |alive| one.planted - alive)).collect();
    }
    let of_area = |one: &Asked<'_>| {
        let own = targets.iter().filter(|target| target.area.as_ref() == Some(one.area));
        let short = own.filter_map(|target| Some(wanted(target, one.planted, one.hectares) - alive(one)?));
        short.fold(0.0, f64::max)
    };
    let mut needed: Vec<f64> = asked.iter().map(of_area).collect();
    let known: Vec<(&Asked<'_>, f64)> = asked.iter().filter_map(|one| Some((one, alive(one)?))).collect();
    let sum = |of: fn(&Asked<'_>) -> f64| known.iter().map(|(one, _)| of(one)).sum::<f64>();
    let (planted, hectares) = (sum(|one| one.planted), sum(|one| one.hectares));
    let living: f64 = known.iter().map(|(_, alive)| alive).sum();
    let all = targets.iter().filter(|target| target.area.is_none());
    let short = all.map(|target| wanted(target, planted, hectares) - living).fold(0.0, f64::max);
    let rest = (short - needed.iter().sum::<f64>()).max(0.0);
    let dead = planted - living;
    for (needed, one) in needed.iter_mut().zip(asked) {
        if let (Some(alive), true) = (alive(one), dead > 0.0) {
            *needed += rest * (one.planted - alive) / dead;
        }
    }
    needed
}

fn dead(planted: f64, alive: &Estimate<Share>, sources: Sources) -> Estimate<Stems> {
    let dead = |share: Share| Stems((planted * (1.0 - share.part())).round() as u64);
    let mut all = alive.sources.clone();
    all.join(&sources);
    Estimate {
        value: dead(alive.value),
        interval: alive.interval.as_ref().map(|ends| Interval {
            low: dead(ends.high),
            high: dead(ends.low),
            confidence: ends.confidence,
        }),
        sample: alive.sample,
        cautious: None,
        method: Method::INFILL,
        sources: all,
        notes: vec![format!("{} planted; missing stems count as dead", whole(planted as u64))],
    }
}

fn to_set(
    alive: &Estimate<Share>,
    [low, value, high]: [f64; 3],
    sources: Sources,
    targets: &[&Target],
    area: &AreaId,
) -> Estimate<Stems> {
    let up = |needed: f64, share: Share| {
        Stems(if share.part() > 0.0 { (needed / share.part() - 1e-9).ceil().max(0.0) as u64 } else { 0 })
    };
    let mut all = alive.sources.clone();
    all.join(&sources);
    let own = targets.iter().filter(|target| target.area.as_ref().is_none_or(|one| one == area));
    let asked: Vec<String> = own
        .filter_map(|target| {
            let least = least(target)?;
            Some(match target.measure.is_density() {
                true => format!("{} stems a hectare of {}", number(least, 0), target.id),
                false => format!("{} of {}", percent(least, 0), target.id),
            })
        })
        .collect();
    let mut notes = vec![match asked.is_empty() {
        true => "no target asks for living stems: what died is replaced stem for stem".to_owned(),
        false => format!("for {}", asked.join(", ")),
    }];
    notes.push(format!(
        "of the stems set as many are taken to live as of those before them, {}",
        percent(alive.value.part(), 0)
    ));
    Estimate {
        value: up(value, alive.value),
        interval: alive.interval.as_ref().map(|ends| Interval {
            low: up(low, ends.high),
            high: up(high, ends.low),
            confidence: ends.confidence,
        }),
        sample: alive.sample,
        cautious: None,
        method: Method::INFILL,
        sources: all,
        notes,
    }
}

/// Of each species in `one`: what died by its own plots there, else by all plots of the area; and its part of the stems to set.
fn by_species(
    one: &Asked<'_>,
    log: &Log<'_>,
    survey: &Survey<'_>,
    confidence: f64,
    stems: u64,
) -> Vec<(SpeciesId, Stems, Stems)> {
    let Ok(alive) = &one.alive else { return Vec::new() };
    let mut lost: BTreeMap<&SpeciesId, f64> = BTreeMap::new();
    for (species, areas) in &log.species_stems {
        let planted = areas.get(one.area).copied().unwrap_or(0);
        let found: Vec<&Found<'_>> = survey
            .species
            .get(species)
            .into_iter()
            .flatten()
            .filter(|found| &found.plot.area == one.area)
            .collect();
        let own = survival(&found, &ByArea::from([(one.area, planted)]), MissingAs::Dead, confidence);
        let share = own.map_or(alive.value, |own| own.value).part();
        if planted > 0 {
            lost.insert(species, planted as f64 * (1.0 - share));
        }
    }
    let dead: Vec<f64> = lost.values().copied().collect();
    let set = largest_remainder(stems, &dead);
    let lines = lost.into_iter().zip(set);
    lines.map(|((species, dead), set)| (species.clone(), Stems(dead.round() as u64), Stems(set))).collect()
}

fn plots(found: &[&Found<'_>]) -> Vec<PlotLoss> {
    let loss = |found: &&Found<'_>| {
        let set = found.set?;
        let lost = set.saturating_sub(found.alive);
        (lost > 0).then(|| PlotLoss { plot: found.plot.id.clone(), set: Stems(set), lost: Stems(lost) })
    };
    let mut plots: Vec<PlotLoss> = found.iter().filter_map(loss).collect();
    let share = |plot: &PlotLoss| plot.lost.0 as f64 / plot.set.0 as f64;
    plots.sort_by(|one, other| share(other).total_cmp(&share(one)).then(one.plot.cmp(&other.plot)));
    plots
}
