//! Infill that does not say what it replaces, and so counts as stems more.

use crate::{
    problem::{Place, Plausibility, Problem},
    project::Project,
};

/// Words of a note on stems that were set in the place of dead ones (common practice, no source).
const INFILL: [&str; 8] =
    ["infill", "in-fill", "replacement", "replacing", "replaces", "replant", "gap up", "beat up"];

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    for planting in project.plantings.iter().filter(|row| row.replaces.is_none()) {
        let Some(note) = planting.note.as_deref() else { continue };
        let note = note.to_lowercase();
        let Some(word) = INFILL.iter().find(|word| note.contains(*word)) else { continue };
        // What was planted first replaces nothing.
        let earlier = |row: &&crate::project::Planting| row.area == planting.area && row.date < planting.date;
        if !project.plantings.iter().any(|row| earlier(&row)) {
            continue;
        }
        let kind = Plausibility::InfillWithoutBatch { word: (*word).to_owned(), stems: planting.stems.0 };
        problems.push(Problem::new(kind, Place::row(&planting.source).column("replaces")));
    }
}
