//! Maps and charts as SVG text, drawn from the typed project and the ledger; nothing is estimated here.

mod chart;
mod emblem;
pub mod map;
pub mod palette;
pub mod photo;
pub mod svg;
pub mod text;

use crate::{ledger::Ledger, project::Project};

pub use chart::charts;
pub use emblem::emblem;
pub use map::maps;

/// A drawing: SVG text that uses the documents' own fonts.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Its slug, such as `site-map`; the file name of a map sheet.
    pub name: String,
    /// The title above it.
    pub title: String,
    /// What it shows, for those who can't see it.
    pub alt: String,
    /// What stands below it: method, source, how to read it.
    pub caption: String,
    /// The SVG.
    pub svg: String,
    /// Its true width and height on paper, in millimetres: a map's printed scale holds at this size only.
    pub size_mm: (f64, f64),
    /// Whether it is drawn for a page turned on its side.
    pub landscape: bool,
}

/// Everything drawn for a project. A drawing with nothing to show is left out.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sheets {
    /// Maps, each made for a whole page.
    pub maps: Vec<Drawing>,
    /// Charts, each made for the width of a text page.
    pub charts: Vec<Drawing>,
}

/// Draws everything there is to draw.
#[must_use]
pub fn sheets(project: &Project, ledger: &Ledger) -> Sheets {
    Sheets { maps: maps(project, ledger), charts: charts(project, ledger) }
}
