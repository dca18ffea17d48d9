//! How each figure was worked out, and from which files.

use std::{borrow::Cow, collections::BTreeSet};

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

use crate::typeset::data::{
    index::{Index, printed},
    notes::sentence,
    tree,
};
use hillfolio_core::{
    estimate::Method,
    ledger::{Entry, Ledger},
    project::{Area, slug},
    source::Input,
    units::whole,
};

/// The methods used, the index of figures and the files they came from.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Workings {
    methods: Vec<MethodWords>,
    index: Index,
    inputs: Vec<InputRow>,
    /// The files of the whole folder that the inputs were taken from.
    originals: Vec<InputRow>,
}

/// One method in words.
#[derive(Serialize, JsonSchema)]
struct MethodWords {
    /// Its number, by which tables and charts name it.
    number: usize,
    id: &'static str,
    title: &'static str,
    equation: Cow<'static, str>,
    assumptions: String,
    reference: &'static str,
}

/// One input file.
#[derive(Serialize, JsonSchema)]
struct InputRow {
    path: String,
    rows: String,
    bytes: String,
    sha256: String,
}

/// Letters of a SHA-256 sum that are printed; the whole sum stands in the pack's manifest.
const SHORT_SUM: usize = 16;

/// A folder with more files than this is listed as a whole.
const MOST_OF_A_FOLDER: usize = 100;

impl Workings {
    /// The workings of the figures of `ledger`, which were made from the files `inputs`; documents print those with the ids
    /// `printed`.
    pub(crate) fn of(
        ledger: &Ledger,
        inputs: &[Input],
        areas: &[Area],
        printed: &BTreeSet<String>,
    ) -> Workings {
        let areas = areas.iter().map(|area| slug(&area.id.0)).collect();
        let index = Index::of(ledger, printed, &areas);
        Workings {
            methods: used(ledger).map(method).collect(),
            index,
            inputs: listed(inputs),
            originals: Vec::new(),
        }
    }

    /// The same, of the part of one agreement that was taken from the files `originals` of the whole folder.
    pub(crate) fn taken_from(self, originals: &[Input]) -> Workings {
        Workings { originals: listed(originals), ..self }
    }
}

/// `data`, the tree of a document that bears its own workings, with them.
pub(crate) fn with_workings_of(ledger: &Ledger, inputs: &[Input], areas: &[Area], mut data: Value) -> Value {
    data["workings"] = tree(&Workings::of(ledger, inputs, areas, &printed(&data)));
    data
}

/// The files that a document was made from. Of a folder with very many, such as photos, nobody reads every name and sum on paper: it
/// takes one row, and its files stand in the pack's ledger.
fn listed(inputs: &[Input]) -> Vec<InputRow> {
    fn folder(input: &Input) -> &str {
        input.path.split_once('/').map_or("", |(folder, _)| folder)
    }
    let mut rows = Vec::new();
    for together in inputs.chunk_by(|one, next| folder(one) == folder(next)) {
        match folder(&together[0]) {
            own if !own.is_empty() && together.len() > MOST_OF_A_FOLDER => rows.push(InputRow {
                path: format!("{own}/, {} files", whole(together.len() as u64)),
                rows: String::new(),
                bytes: whole(together.iter().map(|input| input.bytes).sum()),
                sha256: "in data/figures.json".to_owned(),
            }),
            _ => rows.extend(together.iter().map(|input| InputRow {
                path: input.path.to_string(),
                rows: input.rows.map(|rows| whole(rows.into())).unwrap_or_default(),
                bytes: whole(input.bytes),
                sha256: input.sha256.chars().take(SHORT_SUM).collect(),
            })),
        }
    }
    rows
}

fn used(ledger: &Ledger) -> impl Iterator<Item = Method> {
    let ids = ledger.iter().filter_map(|(_, entry)| match entry {
        Entry::Figure(figure) => Some(figure.method.id()),
        Entry::Missing(_) => None,
    });
    let ids: BTreeSet<&str> = ids.collect();
    Method::all().filter(move |method| ids.contains(method.id()))
}

fn method(method: Method) -> MethodWords {
    MethodWords {
        number: method.number(),
        id: method.id(),
        title: method.title(),
        equation: method.equation(),
        assumptions: sentence(&method.assumptions()),
        reference: method.reference(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_folder_of_very_many_files_takes_one_row() {
        let input =
            |path: String| Input { path: path.into(), sha256: "ab".repeat(32), bytes: 10, rows: None };
        let photos = |count: usize| (0..count).map(move |n| input(format!("photos/F{n:04}.jpg")));
        let ends = || [input("plots.csv".to_owned())];
        let few: Vec<Input> = photos(MOST_OF_A_FOLDER).chain(ends()).collect();
        assert_eq!(listed(&few).len(), MOST_OF_A_FOLDER + 1);
        let many: Vec<Input> = photos(1_500).chain(ends()).collect();
        let rows = listed(&many);
        let told: Vec<(&str, &str)> = rows.iter().map(|row| (&*row.path, &*row.bytes)).collect();
        assert_eq!(told, [("photos/, 1,500 files", "15,000"), ("plots.csv", "10")]);
    }
}
