//! Estimates of several sites added up: against published examples, against the inventory guidelines' equation and against draws.

use hillfolio_core::estimate::{
    Interval,
    carbon::of_sum,
    chance::Chance,
    interval::wilson,
    joined::{Joined, Part, Shared, joined},
};

fn part(value: f64, (low, high): (f64, f64), confidence: f64, weight: f64, shared: Shared) -> Part {
    Part { value, interval: Some(Interval { low, high, confidence }), weight, shared }
}

fn ends(joined: Joined) -> (f64, f64) {
    let interval = joined.interval.unwrap();
    (interval.low, interval.high)
}

/// Newcombe (1998), *Statistics in Medicine* 17:873-890, table II, method 10, contrast (a), 95 %: 56/70 − 48/80 is 0.2000
/// (+0.0524, +0.3339); contrast (b): 9/10 − 3/10 is 0.6000 (+0.1705, +0.8090). As remembered; Zou & Donner's method is his with
/// these intervals.
#[test]
fn the_difference_of_two_proportions_is_the_published_one() {
    let proportion = |x, n, weight| part(x / n, wilson(x, n, 0.95), 0.95, weight, Shared::Nothing);
    let difference = |x1, n1, x2, n2| joined(&[proportion(x1, n1, 1.0), proportion(x2, n2, -1.0)], 0.95);
    let (low, high) = ends(difference(56.0, 70.0, 48.0, 80.0));
    assert!((low - 0.0524).abs() < 5e-5 && (high - 0.3339).abs() < 5e-5, "{low} {high}");
    let (low, high) = ends(difference(9.0, 10.0, 3.0, 10.0));
    assert!((low - 0.1705).abs() < 5e-5 && (high - 0.8090).abs() < 5e-5, "{low} {high}");
}

/// JCGM 100:2008 (*Guide to the expression of uncertainty in measurement*), 5.2.2, example: ten resistors of 1000 Ω, each compared
/// with the same standard to 100 mΩ, give 10 kΩ with 1 Ω; taken to be independent they would give 0.32 Ω.
#[test]
fn what_ten_parts_share_does_not_average_out() {
    let (z, u) = (1.644_853_626_951_472_2, 0.100);
    let resistor = |shared| part(1_000.0, (1_000.0 - z * u, 1_000.0 + z * u), 0.90, 1.0, shared);
    let error = |shared| {
        let (low, high) = ends(joined(&[resistor(shared); 10], 0.90));
        assert!(((low + high) / 2.0 - 10_000.0).abs() < 1e-9);
        (high - low) / 2.0 / z
    };
    assert!((error(Shared::All) - 1.0).abs() < 1e-9);
    assert!((error(Shared::Relative(1e-4)) - 1.0).abs() < 1e-9);
    assert!((error(Shared::Nothing) - 0.316).abs() < 5e-4);
}

/// By hand: stocks 100 ± 20 and 50 ± 15, of which 0.10 of the value (z = 1: at 68.27 %) is shared. Own: 20² − 10² = 300, 15² − 5² =
/// 200; shared: (10 + 5)² = 225; √725 = 26.926.
#[test]
fn own_and_shared_errors_are_told_apart() {
    let confidence = 0.682_689_492_137_085_9;
    let stock =
        |value, half| part(value, (value - half, value + half), confidence, 1.0, Shared::Relative(0.10));
    let (low, high) = ends(joined(&[stock(100.0, 20.0), stock(50.0, 15.0)], confidence));
    assert!((high - 176.926).abs() < 1e-3 && (low - 123.074).abs() < 1e-3, "{low} {high}");
}

/// IPCC (2006), *Guidelines for National Greenhouse Gas Inventories*, volume 1, chapter 3, equation 3.2, which the carbon estimators
/// have in a function of their own.
#[test]
fn symmetric_independent_parts_follow_the_inventory_guidelines() {
    let terms = [(120.0, 0.12), (45.0, 0.40), (300.0, 0.07)];
    let parts = terms.map(|(value, relative): (f64, f64)| {
        part(value, (value * (1.0 - relative), value * (1.0 + relative)), 0.95, 1.0, Shared::Nothing)
    });
    let (low, high) = ends(joined(&parts, 0.95));
    assert!(((high - low) / 2.0 / 465.0 - of_sum(&terms)).abs() < 1e-12);
}

/// Draws: thirty sites, each with a log-normal error of its own and one factor that all share. The joined interval must have the
/// ends of the drawn sums to within an eighth of its width.
#[test]
fn draws_of_thirty_sites_have_the_joined_ends() {
    let (sites, own, common, draws) = (30, 0.35_f64, 0.25_f64, 40_000);
    let z = 1.644_853_626_951_472_2_f64;
    let values: Vec<f64> = (0..sites).map(|n| 20.0 + 7.0 * f64::from(n % 7)).collect();
    let sigma = libm::hypot(own, common);
    let parts: Vec<Part> = values
        .iter()
        .map(|&value| {
            let reach = libm::exp(z * sigma);
            part(value, (value / reach, value * reach), 0.90, 1.0, Shared::Factor(common))
        })
        .collect();
    let (low, high) = ends(joined(&parts, 0.90));
    let chance = Chance::new(7);
    let mut sums: Vec<f64> = (0..draws)
        .map(|draw| {
            let normal = |place| chance.normals(draw as u64, place)[0];
            let shared = libm::exp(common * normal(0));
            (1..).zip(&values).map(|(place, value)| value * shared * libm::exp(own * normal(place))).sum()
        })
        .collect();
    sums.sort_by(f64::total_cmp);
    let (drawn_low, drawn_high) = (sums[draws / 20], sums[draws - draws / 20]);
    // A sum of skewed terms lies a little above the sum of their middles, here by 6 %, a tenth of the width.
    let width = drawn_high - drawn_low;
    assert!((low - drawn_low).abs() < 0.12 * width, "{low} {drawn_low}");
    assert!((high - drawn_high).abs() < 0.12 * width, "{high} {drawn_high}");
    // Had the common factor been taken for the sites' own, the interval would be far too narrow.
    let apart: Vec<Part> = parts.iter().map(|part| Part { shared: Shared::Nothing, ..*part }).collect();
    let (low, high) = ends(joined(&apart, 0.90));
    assert!(high - low < 0.5 * width, "{low} {high} {width}");
}
