//! Cover written as a fraction where per cents are read, and covers that make far more than the whole ground.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    intake::checks::say_of,
    problem::{Change, Measured, Place, Plausibility, Problem, SecondReading},
    project::{CoverMeasure, CoverReading, Layer, PlotId, Project},
    source::Row,
    units::{as_written, day, number},
};

/// Readings from which a table of small numbers is no chance (common practice, no source).
const ENOUGH: usize = 3;

/// Per cent that the covers of one layer may make together, since leaves overlap (common practice, no source).
const OVERLAP: f64 = 150.0;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    fractions_read(project, problems);
    fractions_of_benchmarks(project, problems);
    beyond_whole(project, problems);
}

/// A reading in per cent.
type Read<'a> = (f64, &'a CoverReading);

fn per_cents(project: &Project) -> impl Iterator<Item = Read<'_>> {
    project.cover.iter().filter_map(|reading| match reading.measure {
        CoverMeasure::Percent(read) => Some((read, reading)),
        _ => None,
    })
}

/// Whether per cents can only be fractions: none beyond one, and some between nothing and one.
fn are_fractions(values: &[f64]) -> bool {
    values.iter().all(|value| *value <= 1.0) && values.iter().any(|value| *value > 0.0 && *value < 1.0)
}

fn fractions_read(project: &Project, problems: &mut Vec<Problem>) {
    let (values, rows): (Vec<f64>, Vec<&Row>) =
        per_cents(project).map(|(read, reading)| (read, &reading.source)).unzip();
    // Readings of next to nothing in every plot are a clean slope; what makes the whole of a layer is a whole.
    let wholes = values.iter().filter(|value| **value >= 0.3).count();
    if values.len() >= ENOUGH && are_fractions(&values) && wholes > 0 {
        tell("cover", "percent", &values, rows, Measured::Cover, problems);
    }
}

fn fractions_of_benchmarks(project: &Project, problems: &mut Vec<Problem>) {
    let of_cover = project.benchmarks.iter().filter(|benchmark| benchmark.attribute.in_per_cent());
    let small = of_cover.filter(|benchmark| benchmark.value > 0.0 && benchmark.value <= 1.0);
    for benchmark in small {
        tell(
            "the benchmark",
            "benchmark",
            &[benchmark.value],
            vec![&benchmark.source],
            Measured::Benchmark,
            problems,
        );
    }
}

fn tell(
    what: &'static str,
    column: &str,
    values: &[f64],
    rows: Vec<&Row>,
    of: Measured,
    problems: &mut Vec<Problem>,
) {
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    let kind = Plausibility::FractionsAsPercent {
        what,
        count: values.len(),
        mean: number(mean, 2),
        fraction: number(mean * 100.0, 0),
    };
    let other = SecondReading::of(Change::Times { of, factor: 100.0 }, rows.iter().copied());
    say_of(kind, rows, column, Some(&other), problems);
}

fn beyond_whole(project: &Project, problems: &mut Vec<Problem>) {
    let mut layers: BTreeMap<(&PlotId, NaiveDate, Layer), Vec<Read<'_>>> = BTreeMap::new();
    for (read, reading) in per_cents(project) {
        layers.entry((&reading.plot, reading.date, reading.layer)).or_default().push((read, reading));
    }
    for ((plot, date, layer), readings) in layers {
        let sum: f64 = readings.iter().map(|(read, _)| read).sum();
        let Some((_, last)) = readings.last().filter(|_| sum > OVERLAP) else { continue };
        let kind = Plausibility::CoverBeyondWhole {
            layer: layer.word(),
            plot: plot.to_string(),
            date: day(date),
            sum: as_written(sum),
            holds: holding(&readings),
        };
        problems.push(Problem::new(kind, Place::row(&last.source).column("percent")));
    }
}

/// The first class whose words another has too, and which may hold it.
fn holding(readings: &[Read<'_>]) -> String {
    let words = |text: &str| text.to_lowercase().split_whitespace().map(str::to_owned).collect::<Vec<_>>();
    for (whole, wide) in readings {
        for (part, narrow) in readings {
            let (wide_words, narrow_words) = (words(&wide.cover), words(&narrow.cover));
            if wide_words.len() < narrow_words.len()
                && wide_words.iter().all(|word| narrow_words.contains(word))
            {
                return format!(
                    "; `{}` ({} %) may hold `{}` ({} %)",
                    wide.cover,
                    as_written(*whole),
                    narrow.cover,
                    as_written(*part)
                );
            }
        }
    }
    String::new()
}
