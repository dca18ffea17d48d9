//! How much was looked at to make a figure: the plots, tallied stems and measured trees among its own rows.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    ledger::Figure,
    project::{PlotId, Project},
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

/// Heights in metres of the trees among the figure's rows: measured stems of one tag in one plot are one tree, as tall
/// as the tallest of them.
pub(super) fn heights(project: &Project, figure: &Figure) -> Vec<f64> {
    let rows = project.stems.iter().filter(|stem| figure.sources.holds(&stem.source));
    let measured =
        rows.filter_map(|stem| Some((stem, stem.height?.0))).filter(|(_, height)| height.is_finite());
    let mut places: BTreeMap<(&PlotId, &str), usize> = BTreeMap::new();
    let mut trees: Vec<f64> = Vec::new();
    for (stem, height) in measured {
        let tag = stem.tag.as_deref();
        match tag.and_then(|tag| places.get(&(&stem.plot, tag))).and_then(|&at| trees.get_mut(at)) {
            Some(tree) => *tree = tree.max(height),
            None => {
                places.extend(tag.map(|tag| ((&stem.plot, tag), trees.len())));
                trees.push(height);
            }
        }
    }
    trees
}
