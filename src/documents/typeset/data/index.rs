//! The index of figures: each with its value, interval and method; rows and notes that figures share are printed once.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

use crate::typeset::data::notes::sentence;
use hillfolio_core::{
    ledger::{Entry, Figure, FigureId, Ledger},
    source::Sources,
    units::whole,
};

/// The index of a document.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Index {
    figures: Vec<FigureRow>,
    missing: Vec<MissingRow>,
    /// Rows that figures came from, by name.
    row_sets: Vec<RowSet>,
    /// Notes that stand beside several figures: the first is number 1.
    shared_notes: Vec<String>,
    /// Entries of single surveys, and in a large project of single areas, that the index leaves out.
    left_out: Option<String>,
}

/// More entries than this are cut down to those of the whole site.
const MOST_ENTRIES: usize = 3_000;

/// One figure.
#[derive(Serialize, JsonSchema)]
struct FigureRow {
    id: String,
    text: String,
    interval: Option<String>,
    /// The number of its method in the workings.
    method: usize,
    /// The name of the set of rows that it came from; empty where it came from none.
    rows: String,
    /// Numbers of the shared notes.
    note_numbers: Vec<usize>,
    /// What stands beside this figure alone.
    notes: Vec<String>,
}

/// Rows that one or more figures came from.
#[derive(Serialize, JsonSchema)]
struct RowSet {
    name: String,
    files: Vec<String>,
}

/// A figure that can't be given.
#[derive(Serialize, JsonSchema)]
struct MissingRow {
    id: String,
    label: String,
    reason: String,
}

/// The ids of the figures that stand in the tree of a document: they alone have both an id and a label.
pub(crate) fn printed(tree: &Value) -> BTreeSet<String> {
    let mut ids = BTreeSet::new();
    gather(tree, &mut ids);
    ids
}

fn gather(tree: &Value, ids: &mut BTreeSet<String>) {
    match tree {
        Value::Object(fields) => {
            if let (Some(Value::String(id)), true) = (fields.get("id"), fields.contains_key("label")) {
                ids.insert(id.clone());
            }
            fields.values().for_each(|field| gather(field, ids));
        }
        Value::Array(items) => items.iter().for_each(|item| gather(item, ids)),
        _ => {}
    }
}

impl Index {
    /// The index of a document that prints the figures `printed`. Those of single surveys are left out where it prints them
    /// nowhere: there are as many of them as surveys, areas and covers multiply to. Where the areas alone would make an index
    /// that nobody reads, those of single `areas` (their slugs) are left out too.
    pub(crate) fn of(ledger: &Ledger, printed: &BTreeSet<String>, areas: &BTreeSet<String>) -> Index {
        let kept = |id: &FigureId| !id.is_of_one_survey() || printed.contains(id.as_str());
        let large = ledger.iter().filter(|(id, _)| kept(id)).count() > MOST_ENTRIES;
        let held = |id: &FigureId| kept(id) && !(large && areas.contains(id.last()));
        let entries = || ledger.iter().filter(|(id, _)| held(id));
        let left_out = ledger.iter().count() - entries().count();
        let figures: Vec<(&FigureId, &Figure)> = entries()
            .filter_map(|(id, entry)| match entry {
                Entry::Figure(figure) => Some((id, figure)),
                Entry::Missing(_) => None,
            })
            .collect();
        let missing = entries().filter_map(|(id, entry)| match entry {
            Entry::Missing(missing) => Some(MissingRow {
                id: id.to_string(),
                label: missing.label.clone(),
                reason: sentence(&missing.reason),
            }),
            Entry::Figure(_) => None,
        });
        let shared_notes = shared(figures.iter().map(|(_, figure)| *figure));
        let numbers: BTreeMap<&str, usize> =
            shared_notes.iter().enumerate().map(|(at, note)| (note.as_str(), at + 1)).collect();
        let mut row_sets = RowSets::default();
        Index {
            missing: missing.collect(),
            figures: figures
                .into_iter()
                .map(|(id, figure)| FigureRow::of(id, figure, &mut row_sets, &numbers))
                .collect(),
            row_sets: row_sets.sets,
            shared_notes,
            left_out: (left_out > 0).then(|| whole(left_out as u64)),
        }
    }
}

impl FigureRow {
    fn of<'a>(
        id: &FigureId,
        figure: &'a Figure,
        row_sets: &mut RowSets<'a>,
        shared: &BTreeMap<&str, usize>,
    ) -> FigureRow {
        let number = |note: &String| shared.get(note.as_str()).copied();
        let notes: Vec<String> = figure.notes.iter().map(|note| sentence(note)).collect();
        FigureRow {
            id: id.to_string(),
            text: figure.text(),
            interval: figure.interval_text(),
            method: figure.method.number(),
            rows: row_sets.name(figure),
            note_numbers: notes.iter().filter_map(number).collect(),
            notes: notes.into_iter().filter(|note| number(note).is_none()).collect(),
        }
    }
}

/// The notes that stand beside more than one of `figures`, in the order in which they first come.
fn shared<'a>(figures: impl Iterator<Item = &'a Figure>) -> Vec<String> {
    let mut order: Vec<String> = Vec::new();
    let mut times: BTreeMap<String, usize> = BTreeMap::new();
    for note in figures.flat_map(|figure| &figure.notes).map(|note| sentence(note)) {
        let seen = times.entry(note.clone()).or_default();
        *seen += 1;
        if *seen == 2 {
            order.push(note);
        }
    }
    order
}

/// Runs of rows of one file that are printed before the rest are only counted; figures.csv has them all.
const MOST_RUNS: usize = 60;

/// Every set of rows so far.
#[derive(Default)]
struct RowSets<'a> {
    sets: Vec<RowSet>,
    names: BTreeMap<&'a Sources, String>,
}

impl<'a> RowSets<'a> {
    /// The name under which `figure`'s rows stand; they are added where they are new.
    fn name(&mut self, figure: &'a Figure) -> String {
        if figure.sources.is_empty() {
            return String::new();
        }
        let name = self.names.entry(&figure.sources).or_insert_with(|| {
            let files = figure.sources.abridged(MOST_RUNS).map(|(file, rows)| format!("{file}: {rows}"));
            let name = format!("R{}", self.sets.len() + 1);
            self.sets.push(RowSet { name: name.clone(), files: files.collect() });
            name
        });
        name.clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use hillfolio_core::{
        estimate::{Estimate, Method},
        ledger::catalogue,
        source::Sources,
        units::{Stems, Unit},
    };

    fn enter(ledger: &mut Ledger, id: &str, notes: &[&str]) {
        let mut estimate = Estimate::counted(Stems(3), Method::SUM, Sources::default());
        estimate.notes = notes.iter().map(|&note| note.to_owned()).collect();
        ledger.enter(FigureId::fixed(id), "Stems", Unit::Stems, Ok(estimate));
    }

    /// So whatever an estimator enters can be read in the workings, where no page prints it; of single surveys the chapter on
    /// monitoring and the charts print what they need.
    #[test]
    fn a_figure_of_every_series_stands_in_the_index() {
        let mut ledger = Ledger::default();
        for series in catalogue::ALL {
            let id = series.id(&vec!["all"; series.dimensions.len()]);
            enter(&mut ledger, id.as_str(), &[]);
        }
        let index = Index::of(&ledger, &BTreeSet::new(), &BTreeSet::new());
        for (id, _) in ledger.iter().filter(|(id, _)| !id.is_of_one_survey()) {
            assert!(index.figures.iter().any(|row| row.id == id.as_str()), "{id} is not in the workings");
        }
    }

    #[test]
    fn single_surveys_stand_in_the_index_only_where_they_are_printed() {
        let mut ledger = Ledger::default();
        enter(&mut ledger, "density.all", &["from two plots", "of one alone"]);
        enter(&mut ledger, "density.at.2024-05-20.all", &["from two plots"]);
        enter(&mut ledger, "density.at.2025-05-20.all", &["from two plots"]);
        let tree = serde_json::json!({
            "rows": [{ "figure": { "id": "density.at.2025-05-20.all", "label": "Stems" } }, { "id": "a point" }],
        });
        let index = Index::of(&ledger, &printed(&tree), &BTreeSet::new());
        let ids: Vec<&str> = index.figures.iter().map(|row| row.id.as_str()).collect();
        assert_eq!(ids, ["density.all", "density.at.2025-05-20.all"]);
        assert_eq!(index.left_out.as_deref(), Some("1"));
        assert_eq!(index.shared_notes, ["From two plots."]);
        assert_eq!(
            (&index.figures[0].note_numbers[..], &index.figures[0].notes[..]),
            (&[1][..], &["Of one alone.".to_owned()][..])
        );
        assert!(index.figures[1].notes.is_empty());
    }
}
