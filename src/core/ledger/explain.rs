//! One figure laid open: what it is, how it came about, from which rows.

use crate::{
    estimate::Method,
    ledger::{Entry, FigureId, Ledger},
    project::Project,
    units::percent,
};

/// How many near ids are offered for one that does not exist.
const OFFERED: usize = 5;

/// A figure laid open.
#[derive(Debug, Clone, PartialEq)]
pub struct Explanation {
    /// Its id.
    pub id: FigureId,
    /// What it is called on paper.
    pub label: String,
    /// Its value with its unit, or why there is none.
    pub value: String,
    /// Its interval and the confidence of that, such as `83.2–91.0 % (confidence 90 %)`.
    pub interval: Option<String>,
    /// How it was worked out: title, equation, assumptions, reference; `None` where there is no figure.
    pub method: Option<Method>,
    /// The rows it came from, by file.
    pub sources: Vec<Rows>,
    /// What a reader must know.
    pub notes: Vec<String>,
}

/// Rows of one input file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rows {
    /// Path inside the project folder.
    pub path: String,
    /// The rows, such as `2-97, 99`.
    pub rows: String,
    /// SHA-256 of the file as it was read, where it is known.
    pub sha256: Option<String>,
}

/// The figure under `id` laid open; `None` where the ledger has no such id.
#[must_use]
pub fn explain(ledger: &Ledger, project: &Project, id: &str) -> Option<Explanation> {
    let (id, entry) = ledger.entries.get_key_value(id)?;
    let id = id.clone();
    Some(match entry {
        Entry::Missing(missing) => Explanation {
            id,
            label: missing.label.clone(),
            value: format!("not given: {}", missing.reason),
            interval: None,
            method: None,
            sources: Vec::new(),
            notes: Vec::new(),
        },
        Entry::Figure(figure) => Explanation {
            id,
            label: figure.label.clone(),
            value: figure.text(),
            interval: figure
                .interval_text()
                .zip(figure.interval)
                .map(|(text, interval)| format!("{text} (confidence {})", percent(interval.confidence, 0))),
            method: Some(figure.method),
            sources: figure.sources.printed().map(|(path, rows)| source(project, path, rows)).collect(),
            notes: figure.notes.clone(),
        },
    })
}

fn source(project: &Project, path: &str, rows: String) -> Rows {
    let input = project.inputs.iter().find(|input| &*input.path == path);
    Rows { path: path.to_owned(), rows, sha256: input.map(|input| input.sha256.clone()) }
}

/// The ids nearest to `id`, nearest first.
#[must_use]
pub fn nearest(ledger: &Ledger, id: &str) -> Vec<String> {
    nearest_of(id, ledger.entries.keys().map(FigureId::as_str))
}

/// The `names` nearest to `wanted`, nearest first.
#[must_use]
pub fn nearest_of<'n>(wanted: &str, names: impl Iterator<Item = &'n str>) -> Vec<String> {
    let wanted = wanted.trim().to_lowercase();
    let mut near: Vec<(bool, f64, &str)> = names
        .map(|known| {
            let holds = !wanted.is_empty() && known.contains(&wanted);
            (holds, strsim::normalized_damerau_levenshtein(&wanted, known), known)
        })
        .filter(|&(holds, alike, _)| holds || alike > 0.4)
        .collect();
    near.sort_by(|a, b| b.0.cmp(&a.0).then(b.1.total_cmp(&a.1)).then(a.2.cmp(b.2)));
    near.into_iter().take(OFFERED).map(|(_, _, id)| id.to_owned()).collect()
}
