//! The product-limit curve against the survival package for R.

use hillfolio_core::estimate::{
    interval::quantile,
    lifetime::{Life, Step, between_plots, curve},
};

fn close(what: &str, found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "{what}: {found}, expected {expected}");
}

/// The lives of a table: its column of times, and its column of events with the word that means death.
fn lives(table: &str, time: &str, event: (&str, f64), group: Option<(&str, &str)>) -> Vec<Life> {
    let mut lines = table.lines();
    let heading: Vec<&str> = lines.next().unwrap().split(',').collect();
    let at = |name: &str| heading.iter().position(|cell| *cell == name).unwrap();
    let rows = lines.map(|line| line.split(',').collect::<Vec<_>>());
    rows.filter(|row| group.is_none_or(|(column, level)| row[at(column)] == level))
        .map(|row| Life {
            time: row[at(time)].parse().unwrap(),
            died: row[at(event.0)].parse::<f64>().unwrap() == event.1,
        })
        .collect()
}

/// Holds a curve to the rows of `table` named `case`.
fn check(table: &str, case: &str, lives: &[Life]) {
    let steps: Vec<Step> = curve(lives);
    let rows: Vec<Vec<&str>> =
        table.lines().map(|line| line.split(',').collect::<Vec<_>>()).filter(|row| row[0] == case).collect();
    assert_eq!(steps.len(), rows.len(), "{case}");
    for (step, row) in steps.iter().zip(rows) {
        let number = |at: usize| row[at].parse::<f64>().ok();
        close(case, step.time, number(2).unwrap(), 0.0);
        assert_eq!(
            (step.at_risk as f64, step.died as f64),
            (number(3).unwrap(), number(4).unwrap()),
            "{case}"
        );
        close(case, step.survival, number(5).unwrap(), 1e-9);
        if step.survival > 0.0 {
            close(case, step.error.unwrap(), number(6).unwrap(), 1e-9);
        }
        let z = quantile::normal(quantile::upper(number(1).unwrap()));
        let ends = step.interval(z);
        assert_eq!(ends.is_some(), number(7).is_some(), "{case} at {}", step.time);
        if let Some((low, high)) = ends {
            close(case, low, number(7).unwrap(), 1e-6);
            close(case, high, number(8).unwrap(), 1e-6);
        }
    }
}

/// R survival 3.5-3, `survfit` with Greenwood errors and log-log limits, on data with many ties and much censoring.
#[test]
fn curves_equal_survfit() {
    let expected = include_str!("../data/kaplan-meier.csv");
    let waltons = include_str!("../data/km_waltons.csv");
    for (case, group) in [
        ("waltons_control", Some(("group", "control"))),
        ("waltons_miR-137", Some(("group", "miR-137"))),
        ("waltons_all", None),
    ] {
        check(expected, case, &lives(waltons, "T", ("E", 1.0), group));
    }
    check(
        expected,
        "larynx_all",
        &lives(include_str!("../data/km_larynx.csv"), "time", ("death", 1.0), None),
    );
}

/// The same on data of the survival package itself; `lung_90` at a confidence of 90 %.
#[test]
fn curves_equal_survfit_on_its_own_data() {
    let expected = include_str!("../gpl-data/kaplan-meier.csv");
    let lung = include_str!("../gpl-data/km_lung.csv");
    check(expected, "lung_all", &lives(lung, "time", ("status", 2.0), None));
    check(expected, "lung_90", &lives(lung, "time", ("status", 2.0), Some(("sex", "2"))));
    let veteran = include_str!("../gpl-data/km_veteran.csv");
    for (case, cells) in [("veteran_squamous", "squamous"), ("veteran_adeno", "adeno")] {
        check(expected, case, &lives(veteran, "time", ("status", 1.0), Some(("celltype", cells))));
    }
}

/// Freireich et al. (1963), the 21 remission times of the 6-MP arm, printed in many texts: 0.857, 0.753 and 0.448 at 6, 10 and 23
/// weeks with errors 0.0764, 0.0963 and 0.1346; more digits from R survival 3.5-3.
#[test]
fn the_21_remissions_of_the_textbooks() {
    let steps = curve(&lives(include_str!("../data/km-21-subjects.csv"), "time", ("event", 1.0), None));
    let at = |week: f64| steps.iter().rfind(|step| step.time <= week).unwrap();
    for (week, survival, error) in
        [(6.0, 0.857_143, 0.076_360_4), (10.0, 0.752_941, 0.096_349_6), (23.0, 0.448_179, 0.134_591)]
    {
        close("survival", at(week).survival, survival, 1e-6);
        close("error", at(week).error.unwrap(), error, 1e-6);
    }
    let (low, high) = at(23.0).interval(1.959_964).unwrap();
    close("low", low, 0.188_052, 1e-6);
    close("high", high, 0.680_143, 1e-6);
}

/// Where each stem stands alone in its plot, the variance between plots is Greenwood's times n/(n − 1): the 21 remission times of Freireich et al.
/// (1963) have standard errors of 0.076 360 4, 0.096 349 6 and 0.134 591 at 6, 10 and 23 weeks (`survfit` of the R package survival 3.5-3).
#[test]
fn stems_alone_in_their_plots_have_greenwoods_variance() {
    let subjects = lives(include_str!("../data/km-21-subjects.csv"), "time", ("event", 1.0), None);
    let steps = curve(&subjects);
    let alone: Vec<(usize, Life)> = subjects.iter().copied().enumerate().collect();
    for (time, error) in [(6.0, 0.076_360_4), (10.0, 0.096_349_6), (23.0, 0.134_591)] {
        let (variance, df) = between_plots(&alone, &steps, time).unwrap();
        close("standard error", (variance * 20.0 / 21.0).sqrt(), error, 1e-6);
        close("degrees of freedom", df, 20.0, 0.0);
    }
    // Stems of one plot that share their luck say less than as many that stand alone.
    let pairs: Vec<(usize, Life)> =
        alone.iter().flat_map(|&(plot, life)| [(plot, life), (plot, life)]).collect();
    let twice = curve(&pairs.iter().map(|(_, life)| *life).collect::<Vec<_>>());
    let (variance, _) = between_plots(&pairs, &twice, 10.0).unwrap();
    close("doubled stems", (variance * 20.0 / 21.0).sqrt(), 0.096_349_6, 1e-6);
}
