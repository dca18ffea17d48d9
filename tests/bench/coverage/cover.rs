//! Cover of plots, much of it and little.

use hillfolio_core::estimate::{
    interval::clustered::of_ground,
    ratio::Pair,
    stratified::{Stratum, separate_ratio},
};
use rand::{Rng, rngs::StdRng};
use rand_distr::{Beta, Distribution};

use crate::{
    table::{Asked, Said, Table},
    textbook,
};

/// How cover differs from plot to plot: none in a part of them, elsewhere about a mean, and how unlike.
#[derive(Clone, Copy)]
struct Cover {
    none: f64,
    mean: f64,
    correlation: f64,
}

impl Cover {
    fn of_plot(self, chance: &mut StdRng) -> f64 {
        if chance.random::<f64>() < self.none {
            return 0.0;
        }
        let both = 1.0 / self.correlation - 1.0;
        Beta::new(self.mean * both, (1.0 - self.mean) * both).unwrap().sample(chance)
    }
}

/// Cover read by eye, a share of each plot.
pub(crate) fn rows(table: &mut Table) {
    let kinds = [
        ("50 %, sd 15", Asked::AtLeast, Cover { none: 0.0, mean: 0.5, correlation: 0.09 }),
        ("50 %, sd 25", Asked::AtLeast, Cover { none: 0.0, mean: 0.5, correlation: 0.25 }),
        ("85 %, sd 10", Asked::AtLeast, Cover { none: 0.0, mean: 0.85, correlation: 0.08 }),
        ("85 %, sd 15", Asked::AtLeast, Cover { none: 0.0, mean: 0.85, correlation: 0.18 }),
        (
            "weed 10 %, in three plots of ten",
            Asked::AtMost,
            Cover { none: 0.7, mean: 1.0 / 3.0, correlation: 0.1 },
        ),
        ("weed 5 %, ρ 0.1", Asked::AtMost, Cover { none: 0.0, mean: 0.05, correlation: 0.1 }),
        ("weed 5 %, ρ 0.2", Asked::AtMost, Cover { none: 0.0, mean: 0.05, correlation: 0.2 }),
        ("weed 5 %, in half of the plots", Asked::AtMost, Cover { none: 0.5, mean: 0.1, correlation: 0.1 }),
        ("weed 2 %, ρ 0.1", Asked::AtMost, Cover { none: 0.0, mean: 0.02, correlation: 0.1 }),
        ("weed 2 %, in one plot of ten", Asked::AtMost, Cover { none: 0.9, mean: 0.2, correlation: 0.1 }),
    ];
    for (words, asked, cover) in kinds {
        for number in [3, 5, 10, 30] {
            table.line("cover", &format!("{words}, {number} plots"), asked, |chance| {
                let plots = (0..number).map(|_| Pair { part: cover.of_plot(chance), whole: 1.0 }).collect();
                let found = separate_ratio(&[Stratum { weight: 1.0, sampled: 0.0, plots }]).unwrap();
                let said = of_ground(&found, 0.9).map(|limits| Said {
                    interval: limits.interval,
                    cautious: Some(limits.cautious),
                    textbook: textbook::mean(&found, 0.9),
                });
                ((1.0 - cover.none) * cover.mean, said)
            });
        }
    }
}
