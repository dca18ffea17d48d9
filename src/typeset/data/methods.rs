//! How each figure was worked out, and from which files.

use std::collections::BTreeSet;

use serde::Serialize;
use serde_json::Value;

use crate::{
    estimate::Method,
    ledger::{Entry, Ledger},
    project::{Area, slug},
    source::Input,
    typeset::{
        Matter,
        data::{
            index::{Index, printed},
            notes::sentence,
            tree,
        },
    },
    units::whole,
};

/// The methods used, the index of figures and the files they came from.
#[derive(Serialize)]
struct Workings {
    methods: Vec<MethodWords>,
    index: Index,
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
pub(crate) fn with_workings(matter: &Matter<'_>, data: Value) -> Value {
    with_workings_of(matter.ledger, &matter.project.inputs, &matter.project.areas, data)
}

/// The same from a ledger, the files that it was made from and the areas that it has figures of.
pub(crate) fn with_workings_of(ledger: &Ledger, inputs: &[Input], areas: &[Area], mut data: Value) -> Value {
    let areas = areas.iter().map(|area| slug(&area.id.0)).collect();
    let index = Index::of(ledger, &printed(&data), &areas);
    let inputs = inputs.iter().map(|input| InputRow {
        path: input.path.to_string(),
        rows: input.rows.map(|rows| whole(rows.into())).unwrap_or_default(),
        bytes: whole(input.bytes),
        sha256: input.sha256.chars().take(SHORT_SUM).collect(),
    });
    let methods = used(ledger).into_iter().map(method).collect();
    data["workings"] = tree(&Workings { methods, index, inputs: inputs.collect() });
    data
}

fn used(ledger: &Ledger) -> BTreeSet<Method> {
    let methods = ledger.iter().filter_map(|(_, entry)| match entry {
        Entry::Figure(figure) => Some(figure.method),
        Entry::Missing(_) => None,
    });
    methods.collect()
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
