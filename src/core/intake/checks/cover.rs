//! Cover written as a fraction where per cents are read, and covers that make far more than the whole ground.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    intake::checks::say_of,
    problem::{Change, Measured, Place, Plausibility, Problem, SecondReading},
    project::{Attribute, CoverMeasure, CoverReading, Layer, PlotId, Project},
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
    taller_stems(project, problems);
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
    let by_points = project.cover.iter().filter_map(|reading| match reading.measure {
        CoverMeasure::Hits { hits, points } if points > 0 => {
            Some((100.0 * f64::from(hits) / f64::from(points), reading))
        }
        _ => None,
    });
    for (read, reading) in per_cents(project).chain(by_points) {
        layers.entry((&reading.plot, reading.date, reading.layer)).or_default().push((read, reading));
    }
    for ((plot, date, layer), readings) in layers {
        let sum: f64 = readings.iter().map(|(read, _)| read).sum();
        let Some((_, last)) = readings.last().filter(|_| sum > OVERLAP) else { continue };
        let kind = Plausibility::CoverBeyondWhole {
            layer: layer.word(),
            plot: plot.to_string(),
            date: day(date),
            sum: number(sum, 0),
            holds: holding(&readings),
        };
        let column = if matches!(last.measure, CoverMeasure::Hits { .. }) { "hits" } else { "percent" };
        problems.push(Problem::new(kind, Place::row(&last.source).column(column)));
    }
}

/// A benchmark of stems above a height, beside a count of stems of any height.
fn taller_stems(project: &Project, problems: &mut Vec<Problem>) {
    let above = ["above", "over", "taller than", "higher than", "more than", ">"];
    for benchmark in project.benchmarks.iter().filter(|one| one.attribute == Attribute::Density) {
        let says = [Some(benchmark.reference.as_str()), benchmark.note.as_deref()].into_iter().flatten();
        let tall = |text: &&str| {
            let text = text.to_lowercase();
            above.iter().any(|word| text.contains(word))
                && text.split(|letter: char| !letter.is_alphanumeric()).any(|word| {
                    ["m", "cm", "metre", "metres", "meter", "meters", "tall", "high"].contains(&word)
                        || word.strip_suffix('m').is_some_and(|number| number.parse::<f64>().is_ok())
                })
        };
        let Some(words) = says.into_iter().find(tall) else { continue };
        let kind = Plausibility::BenchmarkOfTallStems { words: words.to_owned() };
        problems.push(Problem::new(kind, Place::row(&benchmark.source).column("benchmark")));
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
