//! A verdict on survival that turns on few stems says how few: counted by hand, so many make it stand as it says.

use hillfolio_core::{
    ledger::{self, Judged},
    project::*,
    units::Stems,
};

use crate::support::small_project;

fn asked(at_least: f64) -> Project {
    let mut project = small_project();
    project.targets.retain(|target| target.measure == Measure::Survival);
    project.targets.truncate(1);
    for target in &mut project.targets {
        target.bound = Bound::AtLeast(at_least);
        (target.area, target.by) = (None, None);
    }
    project
}

fn judged(project: &Project) -> Judged {
    ledger::fill(project).targets.remove(0)
}

fn told(judged: &Judged) -> Option<(u64, String, bool)> {
    let says = judged.asides.iter().find(|says| says.starts_with("were "))?;
    let words: Vec<&str> = says.split_whitespace().collect();
    let stems = if words[1] == "one" { 1 } else { words[1].parse().unwrap() };
    Some((stems, says.split("it would be ").nth(1).unwrap().to_owned(), says.contains("not so")))
}

/// The project with one more stem dead, or alive, in the row that has most of the other.
fn recounted(mut project: Project, stems: u64, fewer: bool) -> Project {
    let lost = |tally: &Tally| tally.set() - tally.alive.0;
    let weight = |tally: &Tally| if fewer { tally.alive.0 } else { lost(tally) };
    // The first of the fullest.
    let most = project.tallies.iter().map(weight).max().unwrap();
    let tally = project.tallies.iter_mut().find(|tally| weight(tally) == most).unwrap();
    assert!(weight(tally) >= stems);
    let set = tally.set();
    tally.alive = Stems(if fewer { tally.alive.0 - stems } else { tally.alive.0 + stems });
    (tally.dead, tally.missing) = (Some(Stems(set - tally.alive.0)), None);
    project
}

#[test]
fn a_verdict_says_how_few_stems_would_turn_it() {
    let (mut turned, mut firm) = (0, 0);
    for percent in 40..=99 {
        let project = asked(f64::from(percent) / 100.0);
        let now = judged(&project);
        let Some((stems, word, fewer)) = told(&now) else {
            firm += 1;
            continue;
        };
        let then = judged(&recounted(project.clone(), stems, fewer));
        assert_eq!(then.standing.words(), word, "{percent} %: {:?}", now.asides);
        if stems > 1 {
            let before = judged(&recounted(project, stems - 1, fewer));
            assert_eq!(before.standing, now.standing, "{percent} %: {:?}", now.asides);
        }
        turned += 1;
    }
    assert!(turned >= 3 && firm >= 3, "{turned} turn, {firm} do not");
}
