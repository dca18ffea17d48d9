//! How much was looked at to make a figure: the plots, tallied stems and measured trees among its own rows.

use std::collections::{BTreeMap, BTreeSet};

use hillfolio_core::{
    ledger::Figure,
    project::{Project, Stem, trees},
    units::whole,
};

/// Plots with tallies among the figure's rows, and the planted stems tallied in them.
pub(super) fn surveyed(project: &Project, figure: &Figure) -> (u64, u64) {
    let mut plots = BTreeSet::new();
    let mut stems = 0;
    for tally in project.tallies.iter().filter(|tally| figure.sources.holds(&tally.source)) {
        plots.insert(&tally.plot);
        stems += tally.set();
    }
    (plots.len() as u64, stems)
}

/// The same as they are printed; dashes where the figure names no tally.
pub(super) fn surveyed_cells(project: &Project, figure: &Figure) -> [String; 2] {
    match surveyed(project, figure) {
        (0, _) => ["–".to_owned(), "–".to_owned()],
        (plots, stems) => [whole(plots), whole(stems)],
    }
}

/// Every measured stem, to be found by its row.
pub(super) struct Measured<'a> {
    stems: &'a [Stem],
    /// The row of each stem of a file and its place among all stems, in order of row.
    files: BTreeMap<&'a str, Vec<(u32, usize)>>,
}

impl<'a> Measured<'a> {
    pub(super) fn of(project: &'a Project) -> Measured<'a> {
        let mut files: BTreeMap<&str, Vec<(u32, usize)>> = BTreeMap::new();
        for (at, stem) in project.stems.iter().enumerate() {
            files.entry(&stem.source.file).or_default().push((stem.source.row, at));
        }
        files.values_mut().for_each(|rows| rows.sort_unstable());
        Measured { stems: &project.stems, files }
    }

    /// Heights in metres of the trees among the figure's rows, each as tall as the tallest of its stems.
    pub(super) fn heights(&self, figure: &Figure) -> Vec<f64> {
        let mut own: Vec<usize> = Vec::new();
        for (file, ranges) in figure.sources.ranges() {
            let rows = self.files.get(file).map_or(&[][..], Vec::as_slice);
            for &(first, last) in ranges {
                let from = rows.partition_point(|&(row, _)| row < first);
                own.extend(rows[from..].iter().take_while(|&&(row, _)| row <= last).map(|&(_, at)| at));
            }
        }
        own.sort_unstable();
        let height = |stem: &&Stem| stem.height.map(|height| height.0).filter(|height| height.is_finite());
        let tallest = |tree: Vec<&Stem>| tree.iter().filter_map(height).reduce(f64::max);
        trees(own.into_iter().map(|at| &self.stems[at])).into_iter().filter_map(tallest).collect()
    }
}
