//! Intervals of proportions, medians and means against published tables and other programs.

use hillfolio_core::estimate::interval::{clopper_pearson, symmetric_t, wilson};

/// The limits of `case` that Python's standard library gives: `../data/limits.py`, whose output is `limits.csv`.
pub(crate) fn limits_of(case: &str) -> (f64, f64) {
    let table = include_str!("../data/limits.csv");
    let row =
        table.lines().map(|line| line.split(',').collect::<Vec<_>>()).find(|row| row[0] == case).unwrap();
    (row[1].parse().unwrap(), row[2].parse().unwrap())
}

fn close(what: &str, found: (f64, f64), low: f64, high: f64, tolerance: f64) {
    let near = |found: f64, expected: f64| (found - expected).abs() <= tolerance;
    assert!(near(found.0, low) && near(found.1, high), "{what}: {found:?}, expected {low} to {high}");
}

/// Newcombe (1998), *Statistics in Medicine* 17:857-872, table I, methods 3 (score) and 5 (Clopper–Pearson), 95 %;
/// printed there with four decimals.
#[test]
fn intervals_match_newcombes_table() {
    for (x, n, score, exact) in [
        (81.0, 263.0, (0.2553, 0.3662), (0.2527, 0.3676)),
        (15.0, 148.0, (0.0624, 0.1605), (0.0578, 0.1617)),
        (0.0, 20.0, (0.0, 0.1611), (0.0, 0.1684)),
        (1.0, 29.0, (0.0061, 0.1718), (0.0009, 0.1776)),
    ] {
        close("Wilson", wilson(x, n, 0.95), score.0, score.1, 5.1e-5);
        close("Clopper-Pearson", clopper_pearson(x, n, 0.95), exact.0, exact.1, 5.1e-5);
    }
}

/// R 4.2.2 (`prop.test`, `binom.test`): 412 of 480 alive; 29 of 29; 5 of 5.
#[test]
fn intervals_match_r() {
    close("412/480", wilson(412.0, 480.0, 0.95), 0.824_287, 0.886_690, 1e-6);
    close("412/480", wilson(412.0, 480.0, 0.90), 0.830_141, 0.882_508, 1e-6);
    close("29/29", wilson(29.0, 29.0, 0.95), 0.883_030, 1.0, 1e-6);
    close("29/29", clopper_pearson(29.0, 29.0, 0.95), 0.880_555, 1.0, 1e-6);
    close("5/5", wilson(5.0, 5.0, 0.95), 0.565_518, 1.0, 1e-6);
    close("5/5", clopper_pearson(5.0, 5.0, 0.95), 0.478_176, 1.0, 1e-6);
}

/// scipy 1.17.1, statsmodels 0.15.0 and R 4.2.2, which agree: `data/proportions.csv`, from 0 of 1 to 9 999 of 10 000.
#[test]
fn intervals_match_scipy_and_statsmodels() {
    let mut rows = 0;
    for line in include_str!("../data/proportions.csv").lines().skip(1) {
        let cells: Vec<f64> = line.split(',').map(|cell| cell.parse().unwrap()).collect();
        let (x, n, confidence) = (cells[0], cells[1], cells[2]);
        close(line, wilson(x, n, confidence), cells[3], cells[4], 1e-9);
        close(line, clopper_pearson(x, n, confidence), cells[5], cells[6], 1e-9);
        rows += 1;
    }
    assert_eq!(rows, 45);
}

/// R survey 4.1.1, `svyciprop(method = "beta")`, ten plots of the planting example as one sample: Clopper–Pearson with an
/// effective sample of p(1 − p)/v, adjusted by Korn & Graubard (1998) for 9 degrees of freedom, x not whole.
#[test]
fn clopper_pearson_takes_an_effective_sample() {
    use hillfolio_core::estimate::interval::quantile::student;
    let (p, variance) = (0.845_652_173_9, 0.032_085_468_74_f64 * 0.032_085_468_74);
    let adjusted = (student(0.975, 459.0) / student(0.975, 9.0)).powi(2);
    let n = p * (1.0 - p) / variance * adjusted;
    close("effective", clopper_pearson(p * n, n, 0.95), 0.757_429_599_1, 0.911_409_661_1, 1e-6);
}

/// R 4.2.2 `t.test`, five step-point transects of 100 points, hits 62 71 55 80 67: 67.0 %, standard error 4.207 137,
/// 55.319 116 to 78.680 884 %.
#[test]
fn the_t_interval_matches_r() {
    let ends = symmetric_t(67.0, 4.207_136_794_f64.powi(2), 4.0, 0.95);
    close("step-point", ends, 55.319_115_64, 78.680_884_36, 1e-6);
}
