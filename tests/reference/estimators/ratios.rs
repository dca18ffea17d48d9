//! Ratio estimates over plots, with and without strata, against Cochran's printed figures and the `survey` package for R.

use std::collections::BTreeMap;

use hillfolio_core::estimate::{
    interval::{logit_t, symmetric_t},
    ratio::{Pair, ratio},
    stratified::{Stratified, Stratum, separate_ratio},
};

fn close(what: &str, found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "{what}: {found}, expected {expected}");
}

/// The columns of a table by name.
fn columns<'a>(table: &'a str, names: &[&str]) -> Vec<Vec<&'a str>> {
    let mut lines = table.lines();
    let heading: Vec<&str> = lines.next().unwrap().split(',').collect();
    let at: Vec<usize> =
        names.iter().map(|name| heading.iter().position(|cell| cell == name).unwrap()).collect();
    lines
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            at.iter().map(|&at| cells[at]).collect()
        })
        .collect()
}

fn pairs(table: &str, part: &str, whole: &str) -> Vec<Pair> {
    let rows = columns(table, &[part, whole]);
    rows.iter().map(|row| Pair { part: row[0].parse().unwrap(), whole: row[1].parse().unwrap() }).collect()
}

fn single(plots: Vec<Pair>, sampled: f64) -> Stratified {
    separate_ratio(&[Stratum { weight: 1.0, sampled, plots }]).unwrap()
}

fn error(joint: &Stratified) -> f64 {
    joint.spread.unwrap().variance.sqrt()
}

/// Cochran (1977), *Sampling Techniques*, 3rd ed., section 3.12: 30 households, 30 of 104 persons; he prints a variance of
/// 0.00520 where the binomial formula would say 0.00197. More digits: R survey 4.1.1, `svyratio`.
#[test]
fn cochrans_households() {
    let plots = pairs(include_str!("../data/cochran-households.csv"), "count", "size");
    assert_eq!(plots.len(), 30);
    let households = single(plots, 0.0);
    close("ratio", households.value, 0.288_461_538_5, 1e-8);
    close("variance", households.spread.unwrap().variance, 0.005_205_368_44, 1e-9);
    close("degrees of freedom", households.spread.unwrap().df, 29.0, 1e-9);
    let binomial = households.value * (1.0 - households.value) / 104.0;
    close("design effect", households.spread.unwrap().variance / binomial, 2.637_536_741, 1e-6);
}

/// R survey 4.1.1, `svyratio`: 15 of 757 school districts, with and without the finite population correction.
#[test]
fn school_districts() {
    let plots = || pairs(include_str!("../gpl-data/api-districts.csv"), "numerator", "denominator");
    close("ratio", single(plots(), 0.0).value, 0.849_708_741_7, 1e-8);
    close("error", error(&single(plots(), 0.0)), 0.008_470_640_195, 1e-8);
    close("corrected", error(&single(plots(), 15.0 / 757.0)), 0.008_386_297_169, 1e-8);
}

/// R survey 4.1.1, `svyratio`: 15 of 44 rows of planted pine, alive of planted after seven years.
#[test]
fn rows_of_pine() {
    let plots = || pairs(include_str!("../gpl-data/pines_rows_sample.csv"), "alive", "planted");
    let found = single(plots(), 15.0 / 44.0);
    close("ratio", found.value, 0.857_142_857_142_857, 1e-9);
    close("error", error(&found), 0.011_488_867_594_681_4, 1e-9);
    let spread = found.spread.unwrap();
    let (low, high) = symmetric_t(found.value, spread.variance, spread.df, 0.95);
    close("low", low, 0.832_501_686_866_534, 1e-8);
    close("high", high, 0.881_784_027_419_18, 1e-8);
    close("uncorrected", error(&single(plots(), 0.0)), 0.014_151_568_036_376_1, 1e-9);
}

/// R survey 4.1.1, `svymean` on the stratified school sample, "yes" standing for "alive": every school a plot of one stem.
#[test]
fn schools_in_strata() {
    let table = include_str!("../gpl-data/apistrat.csv");
    for (column, estimate, standard_error) in [
        ("sch_wide", 0.827_948_014_207_297, 0.024_344_780_089_656_3),
        ("awards", 0.638_936_067_161_77, 0.034_405_918_201_613_3),
    ] {
        let mut strata: BTreeMap<&str, Stratum> = BTreeMap::new();
        for row in columns(table, &["stype", "fpc", column]) {
            let weight = row[1].parse().unwrap();
            let stratum = strata.entry(row[0]).or_insert(Stratum { weight, sampled: 0.0, plots: Vec::new() });
            stratum.plots.push(Pair { part: f64::from(u8::from(row[2] == "Yes")), whole: 1.0 });
            stratum.sampled = stratum.plots.len() as f64 / weight;
        }
        let found = separate_ratio(&strata.into_values().collect::<Vec<_>>()).unwrap();
        close(column, found.value, estimate, 1e-9);
        close(column, error(&found), standard_error, 1e-9);
        assert_eq!((found.strata, found.plots), (3, 200));
    }
}

fn example(stratum: &str) -> Vec<Pair> {
    columns(include_str!("../data/planting-plots-example.csv"), &["stratum", "alive", "planted"])
        .iter()
        .filter(|row| stratum.is_empty() || row[0] == stratum)
        .map(|row| Pair { part: row[1].parse().unwrap(), whole: row[2].parse().unwrap() })
        .collect()
}

/// R survey 4.1.1 (`svyratio`, `svyciprop(method = "logit")`), ten plots as one sample: 389 of 460 alive.
#[test]
fn ten_plots_as_one_sample() {
    let found = single(example(""), 0.0);
    let spread = found.spread.unwrap();
    close("ratio", found.value, 0.845_652_173_9, 1e-9);
    close("error", spread.variance.sqrt(), 0.032_085_468_74, 1e-9);
    let (low, high) = logit_t(found.value, spread.variance, spread.df, 0.95);
    close("low", low, 0.758_563_023_6, 1e-8);
    close("high", high, 0.905_251_046_7, 1e-8);
    let binomial = found.value * (1.0 - found.value) / 460.0;
    close("design effect", spread.variance / binomial, 3.628_125_670_68, 1e-6);
}

/// R 4.2.2 from Cochran's equations: lower slope with two thirds of the stems, 6 of 40 plots; upper slope with one third,
/// 4 of 25 plots.
#[test]
fn two_strata_with_satterthwaites_degrees_of_freedom() {
    let stratum = |weight, sampled, name| Stratum { weight, sampled, plots: example(name) };
    let strata = [stratum(2000.0, 6.0 / 40.0, "lower"), stratum(1000.0, 4.0 / 25.0, "upper")];
    let found = separate_ratio(&strata).unwrap();
    let spread = found.spread.unwrap();
    close("ratio", found.value, 0.847_916_666_7, 1e-9);
    close("error", spread.variance.sqrt(), 0.020_631_714_18, 1e-9);
    close("degrees of freedom", spread.df, 5.135_249_326, 1e-6);
    let (low, high) = symmetric_t(found.value, spread.variance, spread.df, 0.95);
    close("low", low, 0.795_298_547_4, 1e-7);
    close("high", high, 0.900_534_785_9, 1e-7);
    let lower = ratio(&example("lower")).unwrap();
    close("lower", lower.value, 0.9, 1e-12);
    close("its error", lower.variance(lower.spread().unwrap(), 6.0 / 40.0).sqrt(), 0.015_883_324_59, 1e-9);
    let upper = ratio(&example("upper")).unwrap();
    close("upper", upper.value, 0.743_75, 1e-12);
    close("its error", upper.variance(upper.spread().unwrap(), 4.0 / 25.0).sqrt(), 0.053_121_452_09, 1e-9);
}

/// R survey 4.1.1, `svymean`: 88 of 100 and 42 of 60 trees drawn singly from 2 000 and 1 000.
#[test]
fn trees_drawn_singly() {
    let stratum = |of: f64, n: usize, alive: usize| Stratum {
        weight: of,
        sampled: n as f64 / of,
        plots: (0..n).map(|tree| Pair { part: f64::from(u8::from(tree < alive)), whole: 1.0 }).collect(),
    };
    let found = separate_ratio(&[stratum(2000.0, 100, 88), stratum(1000.0, 60, 42)]).unwrap();
    close("ratio", found.value, 0.82, 1e-9);
    close("error", error(&found), 0.028_672_666_13, 1e-9);
}

/// R 4.2.2, eight plots of 100 m² with 34 28 41 22 37 30 25 39 stems, 800 of 24 000 m² sampled.
#[test]
fn density_of_equal_plots() {
    let plots = [34.0, 28.0, 41.0, 22.0, 37.0, 30.0, 25.0, 39.0];
    let plots = plots.iter().map(|&part| Pair { part, whole: 0.01 }).collect();
    let found = single(plots, 800.0 / 24_000.0);
    close("density", found.value, 3200.0, 1e-6);
    close("error", error(&found), 237.947_573_3, 1e-4);
    let (low, high) = symmetric_t(found.value, found.spread.unwrap().variance, 7.0, 0.95);
    close("low", low, 2_637.343_398, 1e-3);
    close("high", high, 3_762.656_602, 1e-3);
}

/// R survey 4.1.1, `svyratio`: belts of 240 200 320 120 300 m² with 61 48 93 20 77 stems.
#[test]
fn density_of_unequal_belts() {
    let belts = [(61.0, 240.0), (48.0, 200.0), (93.0, 320.0), (20.0, 120.0), (77.0, 300.0)];
    let plots = belts.iter().map(|&(part, metres)| Pair { part, whole: metres / 10_000.0 }).collect();
    let found = single(plots, 0.0);
    close("density", found.value, 2_533.898_305, 1e-5);
    close("error", error(&found), 152.320_636_3, 1e-5);
    let (low, high) = symmetric_t(found.value, found.spread.unwrap().variance, 4.0, 0.95);
    close("low", low, 2_110.988_42, 1e-3);
    close("high", high, 2_956.808_19, 1e-3);
}

/// R 4.2.2: line intercepts of 9.4 12.1 10.6 8.8 m on lines of 20 20 25 15 m.
#[test]
fn cover_of_line_intercepts() {
    let lines = [(9.4, 20.0), (12.1, 20.0), (10.6, 25.0), (8.8, 15.0)];
    let found = single(lines.iter().map(|&(part, whole)| Pair { part, whole }).collect(), 0.0);
    close("cover", found.value, 0.511_25, 1e-9);
    close("error", error(&found), 0.046_174_100_16, 1e-9);
    let (low, high) = symmetric_t(found.value, found.spread.unwrap().variance, 3.0, 0.95);
    close("low", low, 0.364_303_405_5, 1e-8);
    close("high", high, 0.658_196_594_5, 1e-8);
}
