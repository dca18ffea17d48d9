//! The names that a folder knows, to be chosen from: its species, areas, plots and lines of the budget.

use std::collections::BTreeSet;

use crate::{
    intake::{folder::Folder, glyphs::Printable, whole},
    project::Project,
};

/// Names by what they are of, those that the folder uses first.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct KnownNames {
    species: Vec<String>,
    area: Vec<String>,
    plot: Vec<String>,
    line: Vec<String>,
}

impl KnownNames {
    /// The names of species, areas, plots or lines of the budget, by that word.
    #[must_use]
    pub fn of(&self, what: &str) -> &[String] {
        match what {
            "species" => &self.species,
            "area" => &self.area,
            "plot" => &self.plot,
            "line" => &self.line,
            _ => &[],
        }
    }
}

/// The names that are known in `folder`, whatever else is wrong with it.
#[must_use]
pub fn known_names(folder: &Folder, printable: Printable<'_>) -> KnownNames {
    whole::as_far_as_read(folder, printable).map(|project| names(&project)).unwrap_or_default()
}

fn names(project: &Project) -> KnownNames {
    let planted = project.plantings.iter().map(|planting| planting.species.0.to_string());
    let listed = project.species.iter().map(|species| species.id.0.to_string());
    let of_agreements = project.agreements.iter().flat_map(|agreement| &agreement.budget);
    let lines = project.budget.iter().map(|line| line.line.clone());
    let area = project.areas.iter().map(|area| area.id.to_string());
    let plot = project.plots.iter().map(|plot| plot.id.0.to_string());
    KnownNames {
        species: once(planted.chain(listed)),
        area: once(area),
        plot: once(plot),
        line: once(lines.chain(of_agreements.map(|of_year| of_year.line.line.clone()))),
    }
}

/// Each name once, in the order of the first of it.
fn once(names: impl Iterator<Item = String>) -> Vec<String> {
    let mut seen = BTreeSet::new();
    names.filter(|name| seen.insert(name.clone())).collect()
}
