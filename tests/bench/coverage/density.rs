//! Stems on a hectare that stand in clumps.

use hillfolio_core::estimate::{
    interval::{Clumping, density},
    ratio::Pair,
    stratified::{Stratum, separate_ratio},
};
use rand::rngs::StdRng;
use rand_distr::{Distribution, Gamma, LogNormal, Poisson};

use crate::{
    table::{Asked, Said, Table},
    textbook,
};

fn counted(mean: f64, shape: f64, chance: &mut StdRng) -> f64 {
    let rate = if shape.is_finite() { Gamma::new(shape, mean / shape).unwrap().sample(chance) } else { mean };
    if rate > 1e-9 { Poisson::new(rate).unwrap().sample(chance) } else { 0.0 }
}

/// Counts from a negative binomial distribution on plots of 0.01 ha.
pub(crate) fn rows(table: &mut Table) {
    let planted = ("density", Clumping::STEMS, Asked::AtLeast);
    let sown = ("recruits", Clumping::RECRUITS, Asked::AtLeast);
    let kinds = [
        (planted, "20 a plot at random", 20.0, f64::INFINITY, 0.0),
        (planted, "20 a plot, k 3", 20.0, 3.0, 0.0),
        (planted, "20 a plot, k 1", 20.0, 1.0, 0.0),
        (planted, "20 a plot, k 3, sizes with cv 0.8", 20.0, 3.0, 0.8),
        (sown, "1 a plot (100/ha), k 0.3", 1.0, 0.3, 0.0),
        (sown, "4 a plot, k 0.3", 4.0, 0.3, 0.0),
        (sown, "4 a plot, k 1", 4.0, 1.0, 0.0),
    ];
    for ((figure, clumping, asked), words, mean, shape, unlike) in kinds {
        for number in [2, 3, 5, 10, 30] {
            let spread = (1.0f64 + unlike * unlike).ln().sqrt();
            let sizes = LogNormal::new(-spread * spread / 2.0, spread.max(1e-12)).unwrap();
            table.line(figure, &format!("{words}, {number} plots"), asked, |chance| {
                let plot = |_| {
                    let size = if unlike > 0.0 { sizes.sample(chance) } else { 1.0 };
                    Pair { part: counted(mean * size, shape, chance), whole: 0.01 * size }
                };
                let plots = (0..number).map(plot).collect();
                let found = separate_ratio(&[Stratum { weight: 1.0, sampled: 0.0, plots }]).unwrap();
                let textbook = textbook::density(&found, 0.9);
                let said = density(&found, clumping, 0.9).map(|interval| Said {
                    interval,
                    cautious: None,
                    textbook,
                });
                (mean * 100.0, said)
            });
        }
    }
}
