//! How much was looked at to make a figure: the plots, tallied stems and measured trees among its own rows.

use std::collections::BTreeSet;

use crate::{
    ledger::Figure,
    project::{Project, Stem, trees},
    units::whole,
};

/// Plots with tallies among the figure's rows, and the planted stems tallied in them.
pub(super) fn surveyed(project: &Project, figure: &Figure) -> (u64, u64) {
    let rows = || project.tallies.iter().filter(|tally| figure.sources.holds(&tally.source));
    let plots: BTreeSet<_> = rows().map(|tally| &tally.plot).collect();
    (plots.len() as u64, rows().map(|tally| tally.set()).sum())
}

/// The same as they are printed; dashes where the figure names no tally.
pub(super) fn surveyed_cells(project: &Project, figure: &Figure) -> [String; 2] {
    match surveyed(project, figure) {
        (0, _) => ["–".to_owned(), "–".to_owned()],
        (plots, stems) => [whole(plots), whole(stems)],
    }
}

/// Heights in metres of the trees among the figure's rows, each as tall as the tallest of its stems.
pub(super) fn heights(project: &Project, figure: &Figure) -> Vec<f64> {
    let rows = project.stems.iter().filter(|stem| figure.sources.holds(&stem.source));
    let height = |stem: &&Stem| stem.height.map(|height| height.0).filter(|height| height.is_finite());
    let tallest = |tree: Vec<&Stem>| tree.iter().filter_map(height).reduce(f64::max);
    trees(rows).into_iter().filter_map(tallest).collect()
}
