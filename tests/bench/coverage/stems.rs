//! Stems alive in plots.

use std::collections::BTreeMap;

use hillfolio_core::{
    estimate::{
        Estimate, Interval,
        joined::{Part, Shared, joined},
        ratio::Pair,
        stratified::{Stratum, separate_ratio},
        survival::{self as estimator, MissingAs},
        visit::Found,
    },
    project::{AreaId, MeasuredOn, Plot, PlotId, PlotShape},
    source::Row,
    units::{Share, SquareMetres},
};
use rand::{Rng, rngs::StdRng};
use rand_distr::{Beta, Binomial, Distribution, LogNormal};

use crate::{
    table::{Asked, Said, Table},
    textbook,
};

/// Plots in a population.
const PLOTS: usize = 150;

/// How stems live and die in a population.
#[derive(Clone, Copy)]
enum Fate {
    /// With one chance, alike within plots.
    Clustered { alive: f64, correlation: f64 },
    /// The same, and a part of the plots lost whole.
    Patchy { alive: f64, lost: f64 },
    /// The same, larger plots doing worse.
    WorseIfLarge { alive: f64, slope: f64 },
}

/// Stems set and alive in one plot.
type Stems = (u64, u64);

fn shared_luck(mean: f64, correlation: f64, chance: &mut StdRng) -> f64 {
    if correlation <= 0.0 || mean <= 0.0 || mean >= 1.0 {
        return mean;
    }
    let both = 1.0 / correlation - 1.0;
    Beta::new(mean * both, (1.0 - mean) * both).unwrap().sample(chance)
}

fn living(stems: u64, share: f64, chance: &mut StdRng) -> u64 {
    Binomial::new(stems, share.clamp(0.0, 1.0)).unwrap().sample(chance)
}

fn population(mean: f64, unlike: f64, fate: Fate, chance: &mut StdRng) -> Vec<Stems> {
    let sizes = (unlike > 0.0).then(|| {
        let spread = (1.0 + unlike * unlike).ln().sqrt();
        LogNormal::new(mean.ln() - spread * spread / 2.0, spread).unwrap()
    });
    let plot = |_| {
        let size = sizes.map_or(mean, |sizes| sizes.sample(chance).round().max(2.0));
        let share = match fate {
            Fate::Clustered { alive, correlation } => shared_luck(alive, correlation, chance),
            Fate::Patchy { lost, .. } if chance.random::<f64>() < lost => 0.0,
            Fate::Patchy { alive, .. } => shared_luck(alive, 0.05, chance),
            Fate::WorseIfLarge { alive, slope } => {
                shared_luck((alive - slope * (size / mean - 1.0)).clamp(0.05, 0.995), 0.1, chance)
            }
        };
        (size as u64, living(size as u64, share, chance))
    };
    (0..PLOTS).map(plot).collect()
}

fn row() -> Row {
    Row { file: "plots.csv".into(), row: 2 }
}

/// Plots of one area to hang what was found on.
fn plots(number: usize) -> Vec<Plot> {
    let plot = |number: usize| Plot {
        id: PlotId(format!("P{number:03}").into()),
        area: AreaId("Hill".into()),
        shape: PlotShape::Area(SquareMetres(100.0)),
        position: None,
        measured_on: MeasuredOn::Plan,
        stratum: None,
        planted_stems: None,
        note: None,
        source: row(),
    };
    (0..number).map(plot).collect()
}

fn found<'a>(plots: &'a [Plot], stems: &[Stems]) -> Vec<Found<'a>> {
    let one = |(plot, &(set, alive)): (&'a Plot, &Stems)| Found {
        plot,
        alive,
        missing: 0,
        set: Some(set),
        self_sown: 0,
        rows: Vec::new(),
    };
    plots.iter().zip(stems).map(one).collect()
}

fn ends(estimate: &Estimate<Share>) -> Option<Said> {
    let part = |interval: Interval<Share>| (interval.low.part(), interval.high.part());
    Some(Said { interval: part(estimate.interval?), cautious: estimate.cautious.map(part), textbook: None })
}

fn line(table: &mut Table, words: &str, number: usize, (size, unlike): (f64, f64), fate: Fate) {
    let plots = plots(number);
    let area = AreaId("Hill".into());
    table.line("survival", &format!("{words}, {number} plots"), Asked::AtLeast, |chance| {
        let all = population(size, unlike, fate, chance);
        let sum = |of: fn(&Stems) -> u64| all.iter().map(of).sum::<u64>();
        let (set, alive) = (sum(|plot| plot.0), sum(|plot| plot.1));
        let found = found(&plots, &all[..number]);
        let refs: Vec<&Found<'_>> = found.iter().collect();
        let planted = BTreeMap::from([(&area, set)]);
        let estimate = survival_of(&refs, &planted);
        let textbook = plain(&refs, &planted);
        // One plot settles nothing, whatever its interval.
        let said = ends(&estimate).map(|said| Said { textbook, ..said });
        let said =
            said.map(|said| if number == 1 { Said { cautious: Some((0.0, 1.0)), ..said } } else { said });
        (alive as f64 / set as f64, said)
    });
}

fn survival_lines() -> Vec<(f64, f64)> {
    let mut lines = Vec::new();
    for correlation in [0.0, 0.05, 0.1, 0.2] {
        for alive in [0.3, 0.5, 0.8, 0.9, 0.95, 0.99] {
            lines.push((correlation, alive));
        }
    }
    lines
}

/// Plots of one size in which stems share their luck.
pub(crate) fn survival(table: &mut Table) {
    for number in [1, 2, 3, 5, 10, 30] {
        for (correlation, alive) in survival_lines() {
            if number > 3 && alive < 0.8 && correlation > 0.0 && correlation < 0.2 {
                continue;
            }
            let fate = Fate::Clustered { alive, correlation };
            line(table, &format!("20 stems, ρ {correlation}, {alive} alive"), number, (20.0, 0.0), fate);
        }
    }
    for number in [5, 10, 30] {
        for (correlation, alive) in [(0.0, 0.95), (0.1, 0.9), (0.2, 0.8), (0.2, 0.95)] {
            let fate = Fate::Clustered { alive, correlation };
            line(table, &format!("50 stems, ρ {correlation}, {alive} alive"), number, (50.0, 0.0), fate);
        }
    }
}

/// Plots of many sizes, and losses that lie in patches.
pub(crate) fn unlike_plots(table: &mut Table) {
    for number in [5, 10, 20] {
        for alive in [0.8, 0.95] {
            let fate = Fate::Clustered { alive, correlation: 0.1 };
            line(table, &format!("sizes with cv 0.8, ρ 0.1, {alive} alive"), number, (20.0, 0.8), fate);
            let fate = Fate::WorseIfLarge { alive, slope: 0.08 };
            line(
                table,
                &format!("sizes with cv 0.8, the large ones worse, {alive} alive"),
                number,
                (20.0, 0.8),
                fate,
            );
        }
    }
    for number in [5, 10, 15, 20, 30] {
        for (lost, words) in [(0.1, "a tenth"), (0.2, "a fifth")] {
            let fate = Fate::Patchy { alive: 0.95, lost };
            line(table, &format!("{words} of the plots lost"), number, (20.0, 0.0), fate);
        }
    }
}

/// The same plots twice.
pub(crate) fn change(table: &mut Table) {
    let area = AreaId("Hill".into());
    for number in [5, 10, 20] {
        for correlation in [0.0, 0.1, 0.2] {
            let plots = plots(number);
            let words = format!("0.95 to 0.90 alive, ρ {correlation}, {number} plots");
            table.line("change of survival", &words, Asked::AtLeast, |chance| {
                let before = population(20.0, 0.0, Fate::Clustered { alive: 0.95, correlation }, chance);
                let now: Vec<Stems> = before
                    .iter()
                    .map(|&(set, alive)| {
                        (set, living(alive, shared_luck(0.9 / 0.95, correlation, chance), chance))
                    })
                    .collect();
                let share = |stems: &[Stems]| {
                    stems.iter().map(|plot| plot.1 as f64).sum::<f64>() / (PLOTS as f64 * 20.0)
                };
                let (then, later) = (found(&plots, &before[..number]), found(&plots, &now[..number]));
                let planted = BTreeMap::from([(&area, PLOTS as u64 * 20)]);
                let [later, then] = [&later, &then].map(|found| found.iter().collect::<Vec<_>>());
                let change = estimator::change(&later, &then, &planted, 0.9).unwrap().interval;
                let pairs = before[..number].iter().zip(&now[..number]);
                let pair = |(then, now): (&Stems, &Stems)| Pair {
                    part: now.1 as f64 - then.1 as f64,
                    whole: then.0 as f64,
                };
                let sampled = number as f64 / PLOTS as f64;
                let sampled = if sampled < 0.05 { 0.0 } else { sampled };
                let stratum = Stratum { weight: 1.0, sampled, plots: pairs.map(pair).collect() };
                let textbook = textbook::mean(&separate_ratio(&[stratum]).unwrap(), 0.9);
                let said =
                    change.map(|ends| Said { interval: (ends.low, ends.high), cautious: None, textbook });
                (share(&now) - share(&before), said)
            });
        }
    }
}

/// Five sites with one plot or three each, taken together.
pub(crate) fn joined_sites(table: &mut Table) {
    let area = AreaId("Hill".into());
    for number in [1, 3] {
        for correlation in [0.05, 0.2] {
            let plots = plots(number);
            let words = format!("five sites of {number} plots, ρ {correlation}, 0.85 alive");
            table.line("survival, joined", &words, Asked::AtLeast, |chance| {
                let mut parts = Vec::new();
                let mut others = BTreeMap::new();
                let mut truth = 0.0;
                for _ in 0..5 {
                    let all = population(20.0, 0.0, Fate::Clustered { alive: 0.85, correlation }, chance);
                    truth += all.iter().map(|plot| plot.1 as f64).sum::<f64>() / (PLOTS as f64 * 20.0) / 5.0;
                    let found = found(&plots, &all[..number]);
                    let refs: Vec<&Found<'_>> = found.iter().collect();
                    let planted = BTreeMap::from([(&area, PLOTS as u64 * 20)]);
                    let estimate = survival_of(&refs, &planted);
                    others.insert(others.len(), (estimate.value.part(), plain(&refs, &planted)));
                    let interval = estimate.interval.map(|ends| Interval {
                        low: ends.low.part(),
                        high: ends.high.part(),
                        confidence: ends.confidence,
                    });
                    parts.push(Part {
                        value: estimate.value.part(),
                        interval,
                        weight: 0.2,
                        shared: Shared::Nothing,
                    });
                }
                let sum = joined(&parts, 0.9).interval;
                let textbook = textbook::joined(&others);
                (truth, sum.map(|ends| Said { interval: (ends.low, ends.high), cautious: None, textbook }))
            });
        }
    }
}

fn plain(found: &[&Found<'_>], planted: &BTreeMap<&AreaId, u64>) -> Option<(f64, f64)> {
    let set: u64 = found.iter().filter_map(|plot| plot.set).sum();
    textbook::survival(&estimator::joint(found, planted)?, set as f64, 0.9)
}

fn survival_of(found: &[&Found<'_>], planted: &BTreeMap<&AreaId, u64>) -> Estimate<Share> {
    estimator::survival(found, planted, MissingAs::Dead, 0.9).unwrap()
}
