//! How each figure was worked out, and from which files.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::{
    estimate::Method,
    ledger::{Entry, Figure, Ledger},
    typeset::{Matter, data::notes::sentence},
    units::whole,
};

/// The methods used, the index of figures and the files they came from.
#[derive(Serialize)]
pub(crate) struct Workings {
    methods: Vec<MethodWords>,
    figures: Vec<FigureRow>,
    missing: Vec<MissingRow>,
    inputs: Vec<InputRow>,
}

/// One method in words.
#[derive(Serialize)]
struct MethodWords {
    id: &'static str,
    title: &'static str,
    equation: &'static str,
    assumptions: String,
    reference: &'static str,
}

/// One figure of the index.
#[derive(Serialize)]
struct FigureRow {
    id: String,
    text: String,
    interval: Option<String>,
    method: &'static str,
    sources: Vec<String>,
    notes: Vec<String>,
}

/// A figure that can't be given.
#[derive(Serialize)]
struct MissingRow {
    id: String,
    label: String,
    reason: String,
}

/// One input file.
#[derive(Serialize)]
struct InputRow {
    path: String,
    rows: String,
    bytes: String,
    sha256: String,
}

/// Letters of a SHA-256 sum that are printed; the whole sum stands in the pack's manifest.
const SHORT_SUM: usize = 16;

impl Workings {
    pub(crate) fn of(matter: &Matter<'_>) -> Workings {
        let used: BTreeSet<Method> = figures(matter.ledger).map(|(_, figure)| figure.method).collect();
        let missing = matter.ledger.iter().filter_map(|(id, entry)| match entry {
            Entry::Missing(missing) => Some(MissingRow {
                id: id.to_string(),
                label: missing.label.clone(),
                reason: sentence(&missing.reason),
            }),
            Entry::Figure(_) => None,
        });
        Workings {
            methods: used.into_iter().map(method).collect(),
            figures: figures(matter.ledger).map(|(id, figure)| row(id, figure)).collect(),
            missing: missing.collect(),
            inputs: matter
                .project
                .inputs
                .iter()
                .map(|input| InputRow {
                    path: input.path.to_string(),
                    rows: input.rows.map(|rows| whole(rows.into())).unwrap_or_default(),
                    bytes: whole(input.bytes),
                    sha256: input.sha256.chars().take(SHORT_SUM).collect(),
                })
                .collect(),
        }
    }
}

fn figures(ledger: &Ledger) -> impl Iterator<Item = (&str, &Figure)> {
    ledger.iter().filter_map(|(id, entry)| match entry {
        Entry::Figure(figure) => Some((id.as_str(), figure)),
        Entry::Missing(_) => None,
    })
}

fn method(method: Method) -> MethodWords {
    MethodWords {
        id: method.id(),
        title: method.title(),
        equation: method.equation(),
        assumptions: sentence(method.assumptions()),
        reference: method.reference(),
    }
}

fn row(id: &str, figure: &Figure) -> FigureRow {
    FigureRow {
        id: id.to_owned(),
        text: figure.text(),
        interval: figure.interval_text(),
        method: figure.method.id(),
        sources: figure.sources.printed().map(|(file, rows)| format!("{file}: {rows}")).collect(),
        notes: figure.notes.iter().map(|note| sentence(note)).collect(),
    }
}
