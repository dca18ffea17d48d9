//! Verdicts on survival that turn on few stems: how few counted otherwise would make a target stand otherwise.

use std::collections::BTreeMap;

use crate::{
    estimate::terrain::Hills,
    ledger::{
        Judged, Ledger, Standing,
        fill::{FillContext, plantings, site, survival, up_to},
        judge::judge,
    },
    project::{Measure, Project, Tally, Target},
    units::Stems,
};

/// One stem in so many may be counted otherwise by another person on the same day (judgement), and no more than this are told.
const ONE_IN: u64 = 50;
const MOST: u64 = 5;

/// Says at each target on survival how few stems it turns on, where that is no more than one in fifty of those counted.
pub(super) fn say(ledger: &mut Ledger, project: &Project, hills: Option<&Hills>) {
    let mut targets = std::mem::take(&mut ledger.targets);
    for judged in &mut targets {
        if let Some(says) = turns_on(ledger, project, hills, judged) {
            judged.because = format!("{}; {says}", judged.because);
            judged.asides.push(says);
        }
    }
    ledger.targets = targets;
}

fn turns_on(ledger: &Ledger, project: &Project, hills: Option<&Hills>, judged: &Judged) -> Option<String> {
    let target = &judged.target;
    if target.measure != Measure::Survival {
        return None;
    }
    let fewer = match judged.standing {
        Standing::Met | Standing::ProbablyMet => true,
        Standing::NotShown | Standing::NotMet => false,
        Standing::NotDue | Standing::NotMeasured => return None,
    };
    let figure = ledger.figure(judged.figure.as_str())?;
    let counted = |tally: &&Tally| figure.sources.holds(&tally.source);
    let set: u64 = project.tallies.iter().filter(counted).map(Tally::set).sum();
    let alive: u64 = project.tallies.iter().filter(counted).map(|tally| tally.alive.0).sum();
    let most = (set / ONE_IN).min(MOST);
    let day = target.by.filter(|by| *by < project.period.to).unwrap_or(project.period.to);
    let then = up_to(project, day);
    let stands = |stems: u64| {
        let mut otherwise = then.clone();
        let rows = otherwise.tallies.iter_mut().filter(|tally| figure.sources.holds(&tally.source));
        move_stems(rows.collect(), stems, fewer);
        standing(&otherwise, hills, target)
    };
    let now = stands(0);
    if most == 0 || stands(most) == now {
        return None;
    }
    let (stems, words) = (1..=most).map(|stems| (stems, stands(stems))).find(|(_, other)| *other != now)?;
    let words = words.words();
    Some(match (fewer, stems) {
        (true, 1) => format!("were one of the {alive} stems counted alive not so, it would be {words}"),
        (true, _) => format!("were {stems} of the {alive} stems counted alive not so, it would be {words}"),
        (false, 1) => format!("were one more of the {set} stems alive, it would be {words}"),
        (false, _) => format!("were {stems} more of the {set} stems alive, it would be {words}"),
    })
}

/// How `target` stands by the tallies of `project` alone.
fn standing(project: &Project, hills: Option<&Hills>, target: &Target) -> Standing {
    let context = FillContext::of(project, hills);
    let mut ledger = Ledger::default();
    site::enter(&mut ledger, &context);
    plantings::enter(&mut ledger, &context);
    // What it gives back is for the costs of a stem.
    let _whole = survival::enter(&mut ledger, &context);
    judge(&mut ledger, project, target, &BTreeMap::new()).standing
}

/// Counts `stems` of the living as lost, or of the lost as living, from the fullest of `rows` on.
fn move_stems(mut rows: Vec<&mut Tally>, stems: u64, fewer: bool) {
    let lost = |tally: &Tally| tally.set() - tally.alive.0;
    rows.sort_by_key(|tally| std::cmp::Reverse(if fewer { tally.alive.0 } else { lost(tally) }));
    let mut left = stems;
    for tally in rows {
        let moved = left.min(if fewer { tally.alive.0 } else { lost(tally) });
        let now_lost = if fewer { lost(tally) + moved } else { lost(tally) - moved };
        tally.alive = Stems(if fewer { tally.alive.0 - moved } else { tally.alive.0 + moved });
        (tally.dead, tally.missing) = (Some(Stems(now_lost)), None);
        left -= moved;
        if left == 0 {
            return;
        }
    }
}
