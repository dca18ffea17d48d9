//! Trees that were measured or tagged.

use hillfolio_core::{
    estimate::{
        carbon::Parts,
        interval::median_limits,
        lifetime::Life,
        ratio::Pair,
        stratified::{Stratum, separate_ratio},
        tagged::{Tagged, lives},
    },
    project::PlotId,
};
use rand::{Rng, rngs::StdRng};
use rand_distr::{Beta, Distribution, LogNormal, StandardNormal};

use crate::{
    table::{Asked, Said, Table},
    textbook,
};

fn normal(chance: &mut StdRng) -> f64 {
    StandardNormal.sample(chance)
}

/// Heights, a part of whose variance is that of plots.
pub(crate) fn medians(table: &mut Table) {
    for (number, trees) in [(3, 10), (5, 8), (10, 5), (10, 10), (30, 4)] {
        for correlation in [0.0_f64, 0.2, 0.4] {
            let words =
                format!("{number} plots of {trees} trees, {correlation} of the variance between plots");
            table.line("median height", &words, Asked::AtLeast, |chance| {
                let plot = |_| {
                    let own = normal(chance) * correlation.sqrt();
                    (0..trees)
                        .map(|_| (0.8 + 0.3 * (own + normal(chance) * (1.0 - correlation).sqrt())).exp())
                        .collect()
                };
                let plots: Vec<Vec<f64>> = (0..number).map(plot).collect();
                let textbook = textbook::median(&plots, 0.9);
                let said =
                    median_limits(&plots, 0.9).map(|interval| Said { interval, cautious: None, textbook });
                (0.8_f64.exp(), said)
            });
        }
    }
}

/// Tagged stems over three surveys, seen again after one year and after two.
pub(crate) fn tagged(table: &mut Table) {
    for number in [5, 10, 20] {
        for correlation in [0.0, 0.05, 0.2] {
            let plots: Vec<PlotId> = (0..number).map(|plot| PlotId(format!("P{plot:02}").into())).collect();
            let words = format!("0.9 then 0.85 alive, ρ {correlation}, {number} plots of 15");
            table.line("tagged survival", &words, Asked::AtLeast, |chance| {
                let mut stems = Vec::new();
                for plot in &plots {
                    let luck = [0.9, 0.85].map(|mean: f64| match correlation {
                        0.0 => mean,
                        correlation => {
                            let both = 1.0 / correlation - 1.0;
                            Beta::new(mean * both, (1.0 - mean) * both).unwrap().sample(chance)
                        }
                    });
                    for _ in 0..15 {
                        let [first, second] = luck.map(|luck| chance.random::<f64>() < luck);
                        let (time, died) = match (first, second) {
                            (false, _) => (365.0, true),
                            (true, second) => (730.0, !second),
                        };
                        stems.push(Tagged {
                            plot,
                            life: Life { time, died },
                            missing: false,
                            rows: Vec::new(),
                        });
                    }
                }
                let alone: Vec<Life> = stems.iter().map(|stem: &Tagged<'_>| stem.life).collect();
                let stems: Vec<&Tagged<'_>> = stems.iter().collect();
                let last = lives(&stems, 0.9).unwrap().pop().map(|(_, share)| share);
                let ends = last.and_then(|share| share.interval.zip(share.cautious));
                (
                    0.9 * 0.85,
                    ends.map(|(ends, cautious)| Said {
                        interval: (ends.low.part(), ends.high.part()),
                        cautious: Some((cautious.low.part(), cautious.high.part())),
                        textbook: textbook::lives(&alone, 0.9),
                    }),
                )
            });
        }
    }
}

/// Dry mass of a few trees a plot, as far as it is a matter of sampling.
pub(crate) fn carbon(table: &mut Table) {
    let mass = LogNormal::new(0.0, 1.0).unwrap();
    for number in [3, 5, 10, 30] {
        for trees in [3, 10] {
            let words = format!("{trees} trees a plot, masses with a log-sd of 1, {number} plots");
            table.line("carbon, sampling alone", &words, Asked::AtLeast, |chance| {
                let plot = |_| Pair { part: (0..trees).map(|_| mass.sample(chance)).sum(), whole: 1.0 };
                let plots = (0..number).map(plot).collect();
                let found = separate_ratio(&[Stratum { weight: 1.0, sampled: 0.0, plots }]).unwrap();
                let spread = found.spread.unwrap();
                let parts = Parts {
                    mean: found.value,
                    error: spread.variance.sqrt(),
                    df: spread.df,
                    model: 0.0,
                    roots: 0.0,
                    fraction: 0.0,
                    area: 0.0,
                    signed: false,
                };
                let ends = parts.drawn(0.9);
                (
                    f64::from(trees) * 0.5_f64.exp(),
                    Some(Said {
                        interval: (ends.low, ends.high),
                        cautious: None,
                        textbook: textbook::mean(&found, 0.9),
                    }),
                )
            });
        }
    }
}
