//! Condition: each benchmark against what was observed.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{
        places::or_all,
        printed::{Printed, under},
    },
};
use hillfolio_core::{
    ledger::{self, FigureId, catalogue},
    project::{Benchmark, SET_METHODS, SetAttribute},
    units::as_written,
};

/// The benchmarks and what the planting holds against them.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Condition {
    rows: Vec<Row>,
    scores: Vec<Printed>,
    /// What government methods read of a stand, side by side with no benchmark.
    set: Vec<SetRow>,
    /// The names of the methods in full.
    set_methods: &'static str,
}

/// One attribute of the set.
#[derive(Serialize, JsonSchema)]
struct SetRow {
    aspect: String,
    attribute: String,
    observed: Printed,
    methods: &'static str,
}

/// One benchmark.
#[derive(Serialize, JsonSchema)]
struct Row {
    attribute: String,
    area: String,
    benchmark: String,
    observed: Printed,
    share: Printed,
    points: Option<Printed>,
    scored_as: Option<&'static str>,
    source: String,
    note: Option<String>,
}

impl Condition {
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> Condition {
        let rows = inputs.project.benchmarks.iter().map(|benchmark| row(inputs, benchmark));
        let compared: Vec<FigureId> = inputs
            .project
            .benchmarks
            .iter()
            .filter_map(|benchmark| ledger::observed(inputs.project, benchmark))
            .collect();
        let set = SetAttribute::all().into_iter().filter_map(|attribute| {
            let id = ledger::attribute_figure(inputs.project, attribute);
            // What a benchmark is held against stands in the table of benchmarks.
            let observed = Printed::find(inputs.ledger, &id).filter(|_| !compared.contains(&id))?;
            Some(SetRow {
                aspect: sentence_case(attribute.aspect().word()),
                attribute: attribute.words(),
                observed,
                methods: attribute.methods(),
            })
        });
        // Where no plot was surveyed there is nothing but gaps to list.
        let surveyed = !(inputs.project.tallies.is_empty() && inputs.project.cover.is_empty());
        let set = set.filter(|_| surveyed && inputs.project.approval.is_some());
        Condition {
            rows: rows.collect(),
            scores: under(inputs.ledger, &catalogue::CONDITION_SCORE),
            set: set.collect(),
            set_methods: SET_METHODS,
        }
    }
}

fn row(inputs: &ReportInputs<'_>, benchmark: &Benchmark) -> Row {
    let ledger = inputs.ledger;
    let name = benchmark.area.as_ref().map_or("all", |area| &area.0);
    let id = benchmark.attribute.id();
    let observed = ledger::observed(inputs.project, benchmark).map(|id| Printed::of(ledger, &id));
    Row {
        attribute: sentence_case(&benchmark.attribute.words()),
        area: or_all(benchmark.area.as_ref()),
        // A benchmark is an input, not a figure of ours.
        benchmark: as_written(benchmark.value),
        observed: observed.unwrap_or_default(),
        share: Printed::of(ledger, &catalogue::CONDITION.id(&[&id, name])),
        points: Printed::find(ledger, &catalogue::CONDITION_POINTS.id(&[&id, name])),
        scored_as: benchmark.scoring.map(|scoring| scoring.words()),
        source: benchmark.reference.clone(),
        note: benchmark.note.clone(),
    }
}

/// `words` with a capital at their start.
fn sentence_case(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
