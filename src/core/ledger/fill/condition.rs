//! Condition: each benchmark of the folder against what was observed, and the points of the method that it names.

use std::collections::BTreeMap;

use crate::{
    estimate::{Estimate, Finding, Gap, condition},
    ledger::{
        FigureId, Ledger, Member, catalogue,
        fill::{FillContext, Scope, attribute_figure},
    },
    problem::{Agreement, Place, Problem},
    project::{Attribute, Benchmark, Project, Scoring},
    units::{as_written, percent},
};

/// The share of its benchmark beyond which an attribute is doubted: young plantings hardly pass the stand they are held against
/// (common practice, no source).
const BEYOND: f64 = 1.5;

/// Whether more of an attribute speaks for a stand: of weeds and bare ground less does, and seedlings stand thick where little shades them.
fn more_is_better(attribute: &Attribute) -> bool {
    let Attribute::Cover { cover, .. } = attribute else {
        return !matches!(attribute, Attribute::Density | Attribute::Recruits | Attribute::OfSet(_));
    };
    !["weed", "exotic", "bare", "non-native", "introduced"]
        .iter()
        .any(|word| cover.to_lowercase().contains(word))
}

/// Enters what the figures that stand in the ledger already say of the benchmarks.
pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>) {
    let mut scored: BTreeMap<Option<&_>, Vec<(Scoring, Estimate<f64>)>> = BTreeMap::new();
    for benchmark in &context.project.benchmarks {
        let scope = Scope { area: benchmark.area.as_ref() };
        let attribute = Member::new(benchmark.attribute.id(), benchmark.attribute.words());
        let observed = found(ledger, context.project, benchmark);
        let level = observed.as_ref().map_err(Clone::clone).and_then(|observed| level(observed, benchmark));
        if let Some(scoring) = benchmark.scoring {
            // Cover that is not native has no benchmark: less is always better.
            let level = if scoring == Scoring::NonNative { &observed } else { &level };
            let points =
                level.as_ref().map_err(Clone::clone).and_then(|level| condition::scored(scoring, level));
            if let Ok(points) = points.as_ref().cloned()
                && scoring != Scoring::GrowthForm
            {
                scored.entry(benchmark.area.as_ref()).or_default().push((scoring, points));
            }
            let attribute = attribute.clone().said(|words| format!("{words}, {}", scoring.words()));
            ledger.enter_named(catalogue::CONDITION_POINTS.named([attribute, scope.into()]), points);
        }
        if let Ok(level) = &level
            && level.value > BEYOND
            && more_is_better(&benchmark.attribute)
        {
            let kind = Agreement::BeyondBenchmark {
                attribute: benchmark.attribute.words(),
                share: percent(level.value, 0),
                benchmark: as_written(benchmark.value),
            };
            let place = Place::row(&benchmark.source).column("benchmark");
            ledger.doubts.push(Problem::new(kind, place));
        }
        ledger.enter_named(catalogue::CONDITION.named([attribute, scope.into()]), level);
    }
    for (area, attributes) in scored {
        let score = condition::score(&attributes);
        ledger.enter_series(&catalogue::CONDITION_SCORE, Scope { area }, score);
    }
}

/// The id of the figure that a benchmark is about; `None` where no such figure is kept.
#[must_use]
pub fn observed(project: &Project, benchmark: &Benchmark) -> Option<FigureId> {
    let area = benchmark.area.as_ref();
    let name = area.map_or("all", |area| &area.0);
    Some(match &benchmark.attribute {
        Attribute::Richness => catalogue::RICHNESS.of(area),
        Attribute::NativeRichness => catalogue::NATIVE_SPECIES.of(area),
        Attribute::FormRichness(form) => catalogue::FORM_SPECIES.id(&[form.word(), name]),
        Attribute::Cover { layer, cover } => catalogue::COVER.id(&[layer.word(), cover, name]),
        Attribute::Density => catalogue::DENSITY.of(area),
        Attribute::Recruits => catalogue::RECRUITS.of(area),
        Attribute::Height(species) if benchmark.area.is_none() => catalogue::HEIGHT.id(&[&species.0]),
        Attribute::OfSet(attribute) if benchmark.area.is_none() => attribute_figure(project, *attribute),
        // These are kept for the whole site.
        Attribute::Height(_) | Attribute::OfSet(_) => return None,
    })
}

/// That figure, with the benchmark's own row among its sources.
fn found(ledger: &Ledger, project: &Project, benchmark: &Benchmark) -> Finding<f64> {
    let id = observed(project, benchmark).ok_or(Gap::NoObservation)?;
    let figure = ledger.figure(id.as_str()).ok_or(Gap::NoObservation)?;
    let mut sources = figure.sources.clone();
    sources.add(&benchmark.source);
    Ok(Estimate {
        value: figure.value,
        interval: figure.interval,
        sample: figure.sample,
        cautious: None,
        method: figure.method,
        sources,
        notes: figure.notes.clone(),
    })
}

fn level(observed: &Estimate<f64>, benchmark: &Benchmark) -> Finding<f64> {
    // Cover stands in the ledger as a share and in the table in per cent.
    let value = if benchmark.attribute.in_per_cent() { benchmark.value / 100.0 } else { benchmark.value };
    Ok(condition::against(observed, value)?.note(format!("benchmark from {}", benchmark.reference)))
}
