//! Condition: each benchmark against what was observed.

use serde::Serialize;

use crate::{
    ledger::{self, FigureId},
    project::Benchmark,
    typeset::{
        Matter,
        data::{
            places::or_all,
            printed::{Printed, under},
        },
    },
    units::as_written,
};

/// The benchmarks and what the planting holds against them.
#[derive(Serialize)]
pub(crate) struct Condition {
    rows: Vec<Row>,
    scores: Vec<Printed>,
}

/// One benchmark.
#[derive(Serialize)]
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
    pub(crate) fn of(matter: &Matter<'_>) -> Condition {
        let rows = matter.project.benchmarks.iter().map(|benchmark| row(matter, benchmark));
        Condition { rows: rows.collect(), scores: under(matter.ledger, "condition.score") }
    }
}

fn row(matter: &Matter<'_>, benchmark: &Benchmark) -> Row {
    let ledger = matter.ledger;
    let name = benchmark.area.as_ref().map_or("all", |area| &area.0);
    let id = benchmark.attribute.id();
    let observed = ledger::observed(benchmark).map(|id| Printed::of(ledger, id.as_str()));
    Row {
        attribute: sentence_case(&benchmark.attribute.words()),
        area: or_all(benchmark.area.as_ref()),
        // A benchmark is an input, not a figure of ours.
        benchmark: as_written(benchmark.value),
        observed: observed.unwrap_or_default(),
        share: Printed::of(ledger, FigureId::of(&format!("condition.{id}"), name).as_str()),
        points: Printed::find(ledger, FigureId::of(&format!("condition.points.{id}"), name).as_str()),
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
