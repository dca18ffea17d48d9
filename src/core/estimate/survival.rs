//! The share of planted stems that live.

use std::collections::BTreeMap;

use crate::{
    estimate::{
        Estimate, Finding, Gap, Interval, Method,
        interval::clustered::{CORRELATION_OF_LOSSES, Clustered, Limits, of_stems},
        listed,
        plantings::ByArea,
        ratio::Pair,
        strata::{By, Key, Strata},
        stratified::{Stratified, Stratum, separate_ratio},
        visit::Found,
    },
    project::{self, AreaId},
    source::{Row, Sources},
    units::{Share, number, whole},
};

/// What a missing stem counts as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MissingAs {
    /// Dead: the headline.
    Dead,
    /// Alive: the other end of what it could mean.
    Alive,
}

/// Share of planted stems alive among `found`, weighted by the stems `planted` in each area.
///
/// Strata are the plots' own where each has one of stated size, else their areas: what a plot's stratum weighs can't be told from where
/// plots were laid out.
///
/// # Equations and sources
/// [`Method::SURVIVAL_RATIO`] and its neighbours.
///
/// # Errors
/// Nothing was planted, surveyed or set, or it can't be told how many stems had been set.
pub fn survival(
    found: &[&Found<'_>],
    planted: &ByArea<'_>,
    missing_as: MissingAs,
    confidence: f64,
) -> Finding<Share> {
    if planted.values().sum::<u64>() == 0 && found.is_empty() {
        return Err(Gap::NothingPlanted);
    }
    if found.is_empty() {
        return Err(Gap::NotSurveyed);
    }
    let told: Vec<Plot<'_>> = found.iter().filter_map(|&found| plot(found, missing_as)).collect();
    let set: u64 = told.iter().map(|plot| plot.set).sum();
    if set == 0 {
        let untold = told.is_empty();
        return Err(if untold { Gap::StemsSetUnknown } else { Gap::NoneInPlots });
    }
    let strata = strata(&told, planted);
    let sample: Vec<Stratum> = strata.values().map(Weighed::stratum).collect();
    let joint = separate_ratio(&sample).ok_or(Gap::NoneInPlots)?;
    // Every stem was counted only where plots tell of every area that was planted.
    let seen = |area: &AreaId| told.iter().any(|plot| plot.area == area && plot.set > 0);
    let census = joint.census && planted.iter().all(|(area, stems)| *stems == 0 || seen(area));
    let joint = Stratified { census, ..joint };
    let (method, limits) = limits(&joint, confidence);
    let sources: Sources = told.iter().flat_map(|plot| plot.rows.iter().copied()).collect();
    let value = Share::nearest(joint.value);
    let shares = |(low, high): (f64, f64)| Interval {
        low: Share::nearest(low.min(joint.value)),
        high: Share::nearest(high.max(joint.value)),
        confidence,
    };
    let interval = limits.map(|limits| shares(limits.interval));
    let cautious = limits.map(|limits| shares(limits.cautious));
    let mut notes = notes(&joint, &told, &strata, missing_as, set);
    notes.extend(left_out(found, &told, planted));
    notes.extend(parts(&told).note());
    Ok(Estimate { value, interval, sample: None, cautious, method, sources, notes })
}

/// What [`survival`] rests on: the strata, put together; `None` where it can't be had.
#[must_use]
pub fn joint(found: &[&Found<'_>], planted: &ByArea<'_>) -> Option<Stratified> {
    let told: Vec<Plot<'_>> = found.iter().filter_map(|&found| plot(found, MissingAs::Dead)).collect();
    let strata = strata(&told, planted);
    separate_ratio(&strata.values().map(Weighed::stratum).collect::<Vec<_>>())
}

/// Change of the share alive from one visit to the next, over plots that both visited and in which as many stems had been set;
/// weights are the stems `planted`. Missing stems count as dead.
///
/// # Equations and sources
/// [`Method::SURVIVAL_CHANGE`].
///
/// # Errors
/// No plot was visited twice.
pub fn change(
    now: &[&Found<'_>],
    before: &[&Found<'_>],
    planted: &ByArea<'_>,
    confidence: f64,
) -> Finding<f64> {
    let earlier: BTreeMap<_, _> =
        before.iter().filter_map(|&found| Some((&found.plot.id, plot(found, MissingAs::Dead)?))).collect();
    let both: Vec<(Plot<'_>, &Plot<'_>)> = now
        .iter()
        .filter_map(|&found| Some((plot(found, MissingAs::Dead)?, earlier.get(&found.plot.id)?)))
        .collect();
    let all = both.len();
    let paired: Vec<(Plot<'_>, &Plot<'_>)> =
        both.into_iter().filter(|(now, before)| now.set == before.set).collect();
    let joint = |part: fn(f64) -> f64| {
        let changed = paired.iter().map(|(now, before)| now.with(part(now.alive - before.alive)));
        let changed: Vec<Plot<'_>> = changed.collect();
        separate_ratio(&strata(&changed, planted).values().map(Weighed::stratum).collect::<Vec<_>>())
    };
    let [of, gained, lost] =
        [joint(|alive| alive), joint(|alive| alive.max(0.0)), joint(|alive| (-alive).max(0.0))];
    let (of, gained, lost) =
        of.zip(gained).zip(lost).map(|((of, gained), lost)| (of, gained, lost)).ok_or(Gap::NoPair)?;
    let rows = paired.iter().flat_map(|(now, before)| now.rows.iter().chain(&before.rows).copied());
    let mut estimate = Estimate::counted(of.value, Method::SURVIVAL_CHANGE, rows.collect())
        .note(format!("from {} that both surveys visited", counted(of.plots as u64, "plot", "plots")));
    if !of.census {
        let (low, high) = difference(&gained, &lost, confidence);
        estimate.interval = Some(Interval { low: low.min(of.value), high: high.max(of.value), confidence });
    }
    let unlike = (all - paired.len()) as u64;
    if unlike > 0 {
        estimate.notes.push(format!(
            "{} left out, because more or fewer stems had been set in it at the second visit",
            counted(unlike, "plot", "plots")
        ));
    }
    Ok(estimate)
}

/// Limits of the share gained less the share lost. Stems die and do not come back: where no plot gained, none is reckoned with.
fn difference(gained: &Stratified, lost: &Stratified, confidence: f64) -> (f64, f64) {
    let limits = |found: &Stratified| {
        let stems = Clustered::of(found);
        stems.limits(stems.effective(CORRELATION_OF_LOSSES, confidence), confidence)
    };
    let died = limits(lost);
    if gained.value <= 0.0 {
        return (-died.1, -died.0);
    }
    let came = limits(gained);
    let below = libm::hypot(gained.value - came.0, died.1 - lost.value);
    let above = libm::hypot(came.1 - gained.value, lost.value - died.0);
    let change = gained.value - lost.value;
    ((change - below).max(-1.0), (change + above).min(1.0))
}

/// A plot of which it is known how many stems had been set.
struct Plot<'a> {
    area: &'a AreaId,
    plot: &'a project::Plot,
    alive: f64,
    missing: u64,
    self_sown: u64,
    set: u64,
    rows: Vec<&'a Row>,
}

impl<'a> Plot<'a> {
    /// The same plot with another number in the place of the living.
    fn with(&self, alive: f64) -> Plot<'a> {
        Plot { alive, rows: Vec::new(), ..*self }
    }
}

#[allow(clippy::cast_precision_loss, reason = "no folder holds 2^53 stems")]
fn plot<'a>(found: &'a Found<'a>, missing_as: MissingAs) -> Option<Plot<'a>> {
    let area = &found.plot.area;
    let alive = match missing_as {
        MissingAs::Dead => found.alive,
        MissingAs::Alive => found.alive + found.missing,
    };
    let mut rows = found.rows.clone();
    rows.push(&found.plot.source);
    let alive = alive as f64;
    Some(Plot {
        area,
        plot: found.plot,
        alive,
        missing: found.missing,
        self_sown: found.self_sown,
        set: found.set?,
        rows,
    })
}

/// The plots of a stratum, the stems set in them and the stems planted in it.
#[derive(Default)]
struct Weighed {
    pairs: Vec<Pair>,
    set: f64,
    planted: f64,
}

impl Weighed {
    /// Whether the planting log holds fewer stems than the plots do.
    fn short_log(&self) -> bool {
        self.planted < self.set * (1.0 - 1e-9)
    }

    fn stratum(&self) -> Stratum {
        let (weight, sampled) =
            if self.short_log() { (self.set, 0.0) } else { (self.planted, self.set / self.planted) };
        // Sharing an area's stems out may leave a hair between 1 and a stratum that was counted whole.
        let sampled = if sampled > 1.0 - 1e-9 { 1.0 } else { sampled };
        Stratum { weight, sampled, plots: self.pairs.clone() }
    }
}

#[allow(clippy::cast_precision_loss, reason = "no folder holds 2^53 stems")]
fn strata<'a>(plots: &[Plot<'a>], planted: &ByArea<'_>) -> BTreeMap<Key<'a>, Weighed> {
    let parts = parts(plots);
    let mut strata: BTreeMap<Key<'a>, Weighed> = BTreeMap::new();
    for plot in plots.iter().filter(|plot| plot.set > 0) {
        let (key, set) = (parts.key(plot.plot), plot.set as f64);
        let stems = planted.get(plot.area).copied().unwrap_or_default() as f64 * parts.share(&key);
        let stratum = strata.entry(key).or_default();
        stratum.pairs.push(Pair { part: plot.alive, whole: set });
        stratum.set += set;
        stratum.planted = stems;
    }
    strata
}

/// The strata of the plots that tell how many stems had been set.
fn parts<'a>(plots: &[Plot<'a>]) -> Strata<'a> {
    Strata::of(plots.iter().filter(|plot| plot.set > 0).map(|plot| plot.plot), By::Stems)
}

fn limits(joint: &Stratified, confidence: f64) -> (Method, Option<Limits>) {
    match joint.spread {
        _ if joint.census => (Method::SURVIVAL_CENSUS, None),
        None => (Method::SURVIVAL_ONE_PLOT, Some(of_stems(joint, confidence))),
        Some(_) => (Method::SURVIVAL_RATIO, Some(of_stems(joint, confidence))),
    }
}

fn notes(
    joint: &Stratified,
    plots: &[Plot<'_>],
    strata: &BTreeMap<Key<'_>, Weighed>,
    missing_as: MissingAs,
    set: u64,
) -> Vec<String> {
    let mut notes = vec![format!(
        "from {} with {} in {}",
        counted(joint.plots as u64, "plot", "plots"),
        counted(set, "stem set", "stems set"),
        counted(joint.strata as u64, "stratum", "strata"),
    )];
    let self_sown: u64 = plots.iter().map(|plot| plot.self_sown).sum();
    if self_sown > 0 {
        notes.push(format!(
            "{} alive beyond those set, taken as self-sown",
            counted(self_sown, "stem stands", "stems stand")
        ));
    }
    let missing: u64 = plots.iter().map(|plot| plot.missing).sum();
    if missing > 0 {
        let what = match missing_as {
            MissingAs::Dead => "dead",
            MissingAs::Alive => "alive",
        };
        notes.push(format!("{} counted as {what}", counted(missing, "missing stem", "missing stems")));
    }
    match joint.spread {
        _ if joint.census => notes.push("every planted stem was counted, so there is no interval".to_owned()),
        None => notes.push(
            "one plot only: how plots differ is taken from what is usual, not from this site".to_owned(),
        ),
        Some(spread) if spread.variance > 0.0 => notes.push(design_effect(joint.value, spread.variance, set)),
        Some(_) => notes.push("all plots agree and show no spread".to_owned()),
    }
    if joint.single > 0 && joint.strata > 1 {
        let single = counted(joint.single as u64, "stratum has", "strata have");
        notes.push(format!("{single} one plot and no spread of its own; the pooled spread was used"));
    }
    if strata.values().any(Weighed::short_log) {
        notes.push(
            "the planting log holds fewer stems than the plots in a stratum, which is weighted by its plots"
                .to_owned(),
        );
    }
    notes
}

/// What clustering costs: the variance over that of as many stems drawn singly (Kish 1965, *Survey Sampling*, ch. 5).
#[allow(clippy::cast_precision_loss, reason = "no folder holds 2^53 stems")]
fn design_effect(p: f64, variance: f64, set: u64) -> String {
    let effect = number(variance / (p * (1.0 - p) / set as f64), 1);
    format!("design effect {effect}: how many times the variance is that of as many stems drawn singly")
}

/// What could not be used: plots without stems set, planted areas without plots.
fn left_out(found: &[&Found<'_>], told: &[Plot<'_>], planted: &ByArea<'_>) -> Vec<String> {
    let mut notes = Vec::new();
    let untold: Vec<String> =
        found.iter().filter(|found| found.set.is_none()).map(|found| found.plot.id.to_string()).collect();
    if !untold.is_empty() {
        notes.push(format!("left out, because stems set were not recorded: {}", listed(&untold)));
    }
    let seen = |area: &AreaId| told.iter().any(|plot| plot.area == area && plot.set > 0);
    let unseen: Vec<String> = planted
        .iter()
        .filter(|&(&area, &stems)| stems > 0 && !seen(area))
        .map(|(area, stems)| format!("{area} ({} planted)", whole(*stems)))
        .collect();
    if !unseen.is_empty() {
        notes.push(format!("left out, because no plot tells of it: {}", listed(&unseen)));
    }
    notes
}

fn counted(number: u64, one: &str, many: &str) -> String {
    format!("{} {}", whole(number), if number == 1 { one } else { many })
}
