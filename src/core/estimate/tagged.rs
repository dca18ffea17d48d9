//! How long tagged stems live, from the rounds of survey in which they were seen.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    estimate::{
        Estimate, Gap, Interval, Method,
        interval::clustered::{CORRELATION_OF_PATCHES, CORRELATION_OF_STEMS, Clustered},
        lifetime::{Life, Step, between_plots, curve},
        measured,
        ratio::count,
    },
    project::{Mark, Period, PlotId, Project, Stem, StemStatus},
    source::{Row, Sources},
    units::{Count, Share, whole},
};

/// The life of one tagged stem, so far as the surveys tell.
#[derive(Debug, Clone, PartialEq)]
pub struct Tagged<'a> {
    /// Its plot.
    pub plot: &'a PlotId,
    /// Days from the round in which it was first seen alive to that in which it was last, or found dead; whether it was.
    pub life: Life,
    /// Whether it was not found, and so counts as dead.
    pub missing: bool,
    /// The rows that say so.
    pub rows: Vec<&'a Row>,
}

/// The rows of one tag, each with the end of its round.
type Seen<'a> = Vec<(NaiveDate, &'a Stem)>;

/// Every tagged stem that was seen alive. Days are counted from the end of a round to the end of another, so that stems of one round
/// share their times. A stem that was not found counts as dead from then, unless it was found alive later.
#[must_use]
pub fn tagged<'a>(project: &'a Project, rounds: &[Period]) -> Vec<Tagged<'a>> {
    let mut stems: BTreeMap<Mark<'_>, Seen<'a>> = BTreeMap::new();
    for &round in rounds {
        for stem in measured::within(project, round) {
            if let Some(mark) = stem.mark() {
                stems.entry(mark).or_default().push((round.to, stem));
            }
        }
    }
    stems.into_iter().filter_map(|((plot, ..), seen)| life(plot, &seen)).collect()
}

fn life<'a>(plot: &'a PlotId, seen: &Seen<'a>) -> Option<Tagged<'a>> {
    let alive = seen.iter().filter(|(_, stem)| stem.status == StemStatus::Alive).map(|(day, _)| *day);
    let (first, last) = (alive.clone().min()?, alive.max()?);
    let gone = seen.iter().filter(|(day, stem)| *day > last && stem.status != StemStatus::Alive);
    let death = gone.min_by_key(|(day, _)| *day);
    let end = death.map_or(last, |(day, _)| *day);
    let days = u32::try_from((end - first).num_days()).ok()?;
    Some(Tagged {
        plot,
        life: Life { time: f64::from(days), died: death.is_some() },
        missing: death.is_some_and(|(_, stem)| stem.status == StemStatus::Missing),
        rows: seen.iter().map(|(_, stem)| &stem.source).collect(),
    })
}

/// Tagged stems that could still be seen dying `days` after they were first seen.
///
/// # Equations and sources
/// [`Method::AT_RISK`].
#[must_use]
pub fn at_risk(stems: &[&Tagged<'_>], days: u32) -> Estimate<Count> {
    let followed = stems.iter().filter(|stem| stem.life.time >= f64::from(days));
    let count = Count(followed.clone().count() as u64);
    Estimate::counted(count, Method::AT_RISK, followed.flat_map(|stem| stem.rows.iter().copied()).collect())
}

/// Share of tagged stems that live past each number of days at which one was seen.
///
/// # Equations and sources
/// [`Method::LIFETIME`].
///
/// # Errors
/// No tagged stem was seen twice.
pub fn lives(stems: &[&Tagged<'_>], confidence: f64) -> Result<Vec<(u32, Estimate<Share>)>, Gap> {
    let lives: Vec<(&PlotId, Life)> = stems.iter().map(|stem| (stem.plot, stem.life)).collect();
    let mut times: Vec<f64> = lives.iter().map(|(_, life)| life.time).filter(|&days| days > 0.0).collect();
    times.sort_unstable_by(f64::total_cmp);
    times.dedup();
    if times.is_empty() {
        return Err(Gap::NoPair);
    }
    let steps = curve(&lives.iter().map(|(_, life)| *life).collect::<Vec<_>>());
    let sources: Sources = stems.iter().flat_map(|stem| stem.rows.iter().copied()).collect();
    let notes = notes(stems);
    let at = |&days: &f64| {
        let found = clustered(&lives, &steps, days);
        let within = |effective: f64| {
            let (low, high) = found.limits(effective, confidence);
            let (low, high) = (low.min(found.share), high.max(found.share));
            Interval { low: Share::nearest(low), high: Share::nearest(high), confidence }
        };
        let effective = found.as_shown(CORRELATION_OF_STEMS, confidence);
        let interval = within(effective);
        let cautious = within(effective.min(found.correlated(CORRELATION_OF_PATCHES)));
        let mut share = Estimate::counted(Share::nearest(found.share), Method::LIFETIME, sources.clone());
        share.interval = Some(interval);
        share.cautious = Some(cautious);
        share.notes.extend(notes.iter().cloned());
        (whole_days(days), share)
    };
    Ok(times.iter().map(at).collect())
}

/// The share of stems that live past `days` as a share of trials in plots: as many as would, drawn singly, have Greenwood's variance.
fn clustered(lives: &[(&PlotId, Life)], steps: &[Step], days: f64) -> Clustered {
    let mut plots: BTreeMap<&PlotId, f64> = BTreeMap::new();
    lives.iter().for_each(|(plot, _)| *plots.entry(plot).or_default() += 1.0);
    let all: f64 = plots.values().sum();
    let step = steps.iter().rfind(|step| step.time <= days);
    let share = step.map_or(1.0, |step| step.survival);
    let greenwood = step.and_then(|step| step.error).map(|error| error * error);
    let trials =
        greenwood.filter(|variance| *variance > 0.0).map_or(all, |variance| share * (1.0 - share) / variance);
    Clustered {
        share,
        trials,
        cluster: plots.values().map(|stems| stems * stems).sum::<f64>() / all,
        between: between_plots(lives, steps, days)
            .or((plots.len() > 1).then_some((0.0, count(plots.len()) - 1.0))),
    }
}

fn notes(stems: &[&Tagged<'_>]) -> Vec<String> {
    let died = stems.iter().filter(|stem| stem.life.died).count();
    let missing = stems.iter().filter(|stem| stem.missing).count();
    let mut plots: Vec<&PlotId> = stems.iter().map(|stem| stem.plot).collect();
    plots.sort_unstable();
    plots.dedup();
    let mut notes = vec![format!(
        "{} tagged stems in {} plots, of which {} died",
        whole(stems.len() as u64),
        whole(plots.len() as u64),
        whole(died as u64)
    )];
    if missing > 0 {
        notes.push(format!("{} of them were not found and count as dead", whole(missing as u64)));
    }
    notes.push("a stem died at some day between two surveys; the share holds at the surveys".to_owned());
    notes
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "times are whole days of a u32")]
fn whole_days(days: f64) -> u32 {
    days as u32
}
