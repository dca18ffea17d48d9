//! How each figure was worked out, and from which files.

use std::collections::BTreeSet;

use serde::Serialize;
use serde_json::Value;

use crate::{
    estimate::Method,
    ledger::{Entry, Figure, FigureId, Ledger},
    typeset::{
        Matter,
        data::{notes::sentence, tree},
    },
    units::whole,
};

/// The methods used, the index of figures and the files they came from.
#[derive(Serialize)]
pub(crate) struct Workings {
    methods: Vec<MethodWords>,
    figures: Vec<FigureRow>,
    missing: Vec<MissingRow>,
    /// Entries of single surveys that no table of the document prints and the index leaves out.
    left_out: Option<String>,
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

/// `data`, the tree of a document, with the workings of what it prints.
pub(crate) fn with_workings(matter: &Matter<'_>, mut data: Value) -> Value {
    let mut printed = BTreeSet::new();
    gather(&data, &mut printed);
    data["workings"] = tree(&Workings::of(matter, &printed));
    data
}

/// The ids of the figures that stand in a tree: those are the only things in it that have both an id and a label.
fn gather(tree: &Value, printed: &mut BTreeSet<String>) {
    match tree {
        Value::Object(fields) => {
            if let (Some(Value::String(id)), true) = (fields.get("id"), fields.contains_key("label")) {
                printed.insert(id.clone());
            }
            fields.values().for_each(|field| gather(field, printed));
        }
        Value::Array(items) => items.iter().for_each(|item| gather(item, printed)),
        _ => {}
    }
}

impl Workings {
    /// The workings of a document that prints the figures `printed`. Those of single surveys stand in the index only where they are
    /// printed: there are as many of them as surveys, areas and covers multiply to.
    fn of(matter: &Matter<'_>, printed: &BTreeSet<String>) -> Workings {
        let indexed = |id: &FigureId| !id.is_of_one_survey() || printed.contains(id.as_str());
        let left_out = matter.ledger.iter().filter(|(id, _)| !indexed(id)).count();
        let used: BTreeSet<Method> = figures(matter.ledger).map(|figure| figure.method).collect();
        let entries = || matter.ledger.iter().filter(|(id, _)| indexed(id));
        let missing = entries().filter_map(|(id, entry)| match entry {
            Entry::Missing(missing) => Some(MissingRow {
                id: id.to_string(),
                label: missing.label.clone(),
                reason: sentence(&missing.reason),
            }),
            Entry::Figure(_) => None,
        });
        Workings {
            methods: used.into_iter().map(method).collect(),
            figures: entries().filter_map(|(id, entry)| row(id, entry)).collect(),
            missing: missing.collect(),
            left_out: (left_out > 0).then(|| whole(left_out as u64)),
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

fn figures(ledger: &Ledger) -> impl Iterator<Item = &Figure> {
    ledger.iter().filter_map(|(_, entry)| match entry {
        Entry::Figure(figure) => Some(figure),
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

fn row(id: &FigureId, entry: &Entry) -> Option<FigureRow> {
    let Entry::Figure(figure) = entry else { return None };
    Some(FigureRow {
        id: id.to_string(),
        text: figure.text(),
        interval: figure.interval_text(),
        method: figure.method.id(),
        sources: figure.sources.printed().map(|(file, rows)| format!("{file}: {rows}")).collect(),
        notes: figure.notes.iter().map(|note| sentence(note)).collect(),
    })
}
