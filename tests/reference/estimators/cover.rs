//! Cover by layer in the four ways in which it is read, from the project to the ledger.

use std::sync::Arc;

use hillfolio_core::{
    estimate::cover::within_plot,
    ledger::{self, Figure, Ledger},
    project::*,
    units::{Metres, SquareMetres},
};

use crate::intervals::limits_of;
use crate::support::{area_id, day, row, small_project};

fn close(what: &str, found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "{what}: {found}, expected {expected}");
}

/// The small project with plots and readings of its own and intervals at 95 %.
fn project(readings: &[(u32, CoverMeasure)]) -> Project {
    let mut project = small_project();
    project.plots.clear();
    project.tallies.clear();
    project.stems.clear();
    project.statistics.confidence = 0.95;
    for (n, measure) in readings {
        let id = PlotId(format!("P{n}").into());
        if project.plot(&id).is_none() {
            project.plots.push(Plot {
                id: id.clone(),
                area: area_id("North face"),
                shape: PlotShape::Area(SquareMetres(100.0)),
                position: None,
                measured_on: MeasuredOn::Plan,
                stratum: None,
                planted_stems: None,
                note: None,
                source: row("plots.csv", *n),
            });
        }
        project.cover.push(CoverReading {
            date: day("2026-05-12"),
            plot: id,
            layer: Layer::Shrub,
            cover: "Native".to_owned(),
            measure: measure.clone(),
            height: None,
            note: None,
            source: row("cover.csv", *n),
        });
    }
    project
}

fn shrubs(ledger: &Ledger) -> &Figure {
    ledger.figure("cover.shrub.native.north-face").unwrap()
}

fn line(covered: f64, line: f64, name: &str) -> CoverMeasure {
    let name = (!name.is_empty()).then(|| name.into());
    CoverMeasure::Intercept { covered: Metres(covered), line: Metres(line), name }
}

fn class(scale: usize, code: &str) -> CoverMeasure {
    let classes = SCALES[scale].classes();
    CoverMeasure::Class(Arc::new(classes.into_iter().find(|class| &*class.code == code).unwrap()))
}

/// R 4.2.2, the survey package's ratio estimate: intercepts of 9.4 12.1 10.6 8.8 m on lines of 20 20 25 15 m come to 0.511 25;
/// limits by `limits.py`. Here the first plot's intercept stands as three stretches of its line, and
/// the third plot's line as two lines of its own.
#[test]
fn stretches_of_lines_add_up_before_plots_are_compared() {
    let ledger = ledger::fill(&project(&[
        (2, line(4.0, 20.0, "")),
        (2, line(5.4, 20.0, "")),
        (2, line(0.0, 20.0, "")),
        (3, line(12.1, 20.0, "")),
        (4, line(7.6, 15.0, "a")),
        (4, line(3.0, 10.0, "b")),
        (5, line(8.8, 15.0, "")),
    ]));
    let figure = shrubs(&ledger);
    let ends = figure.interval.unwrap();
    close("cover", figure.value, 0.511_25, 1e-9);
    let (low, high) = limits_of("cover along lines");
    close("low", ends.low, low, 1e-8);
    close("high", ends.high, high, 1e-8);
}

/// `coverscale` of the R package vegan 2.6-4: 3 % is class 1 of Braun-Blanquet, 30 % class 6 of Domin. Daubenmire (1959): classes
/// with midpoints of 2.5, 15, 37.5, 62.5, 85 and 97.5 %.
#[test]
fn the_published_scales_hold_what_they_say() {
    let holding = |scale: usize, percent: f64| {
        let holds = |class: &CoverClass| class.low < percent && percent <= class.high;
        SCALES[scale].classes().into_iter().find(holds).unwrap().code.to_string()
    };
    assert_eq!((SCALES[0].name, holding(0, 3.0).as_str()), ("Braun-Blanquet", "1"));
    assert_eq!((SCALES[1].name, holding(1, 30.0).as_str()), ("Domin", "6"));
    let middles: Vec<f64> = SCALES[2].classes().iter().map(CoverClass::middle).collect();
    assert_eq!(middles, [2.5, 15.0, 37.5, 62.5, 85.0, 97.5]);
    for scale in &SCALES {
        let classes = scale.classes();
        assert_eq!((classes[0].low, classes[classes.len() - 1].high), (0.0, 100.0), "{}", scale.name);
        let joined = |pair: &[CoverClass]| pair[1].low == pair[0].high || pair[1].low == pair[0].low;
        assert!(classes.windows(2).all(joined), "{} has a hole", scale.name);
    }
}

/// Daubenmire's rule (1959): number of quadrats times midpoint over quadrats; four plots of classes 3 3 3 4 come to
/// (3 × 37.5 + 62.5)/4 = 43.75 %. The limits are the lower one of the lower edges 25 25 25 50 and the upper one of the upper edges 50 50 50 75,
/// by `limits.py`.
#[test]
fn the_interval_of_classes_carries_their_width() {
    let plots = [(2, "3"), (3, "3"), (4, "3"), (5, "4")].map(|(n, code)| (n, class(2, code)));
    let ledger = ledger::fill(&project(&plots));
    let figure = shrubs(&ledger);
    let ends = figure.interval.unwrap();
    close("cover", figure.value, 0.437_5, 1e-12);
    let (low, high) = limits_of("cover in classes");
    close("low", ends.low, low, 1e-6);
    close("high", ends.high, high, 1e-6);
    assert_eq!(figure.method.id(), "cover/classes");
    assert!(figure.notes.iter().any(|note| note.contains("3 (25 to 50 %) as 37.5 %")), "{:?}", figure.notes);
}

/// Plots all in one class show no spread between them; the interval is not narrower than the class for that. A single plot has none.
#[test]
fn one_class_everywhere_is_known_no_better_than_to_its_edges() {
    let ledger = ledger::fill(&project(&[(2, class(0, "2")), (3, class(0, "2"))]));
    let ends = shrubs(&ledger).interval.unwrap();
    assert_eq!(shrubs(&ledger).value, 0.15);
    assert!(0.0 < ends.low && ends.low < 0.05 && 0.25 < ends.high && ends.high < 0.65, "{ends:?}");
    let ledger = ledger::fill(&project(&[(2, class(0, "2"))]));
    assert_eq!(shrubs(&ledger).interval, None);
}

/// By hand: a plot of which one quadrat was read in per cent and one in a class is their mean.
#[test]
fn a_plot_read_in_two_ways_is_their_mean() {
    let both = project(&[(2, CoverMeasure::Percent(20.0)), (2, class(0, "3"))]);
    let readings: Vec<&CoverReading> = both.cover.iter().collect();
    let within = within_plot(&readings).unwrap();
    close("share", within.share(), (0.20 + 0.375) / 2.0, 1e-12);
    close("width", within.width(), 0.125, 1e-12);
}
