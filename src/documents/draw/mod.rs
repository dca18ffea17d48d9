//! Maps and charts as SVG text, drawn from the typed project and the ledger; nothing is estimated here.

mod chart;
mod emblem;
pub mod map;
pub mod palette;
pub mod photo;
mod set_out;
pub mod svg;
pub mod text;

use hillfolio_core::{
    ledger::{Filled, Ledger},
    plan::Plan,
    project::Project,
};

use svg::Markup;

pub use chart::{charts, survival_of_sites};
pub use emblem::emblem;
pub use map::maps;
use set_out::set_out;

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
    pub svg: Markup,
    /// Its true width and height on paper, in millimetres: a map's printed scale holds at this size only.
    pub size_mm: (f64, f64),
    /// Whether it is drawn for a page turned on its side.
    pub landscape: bool,
}

/// No drawing for a document's page is wider, mm.
const WIDEST_FOR_A_PAGE: f64 = 250.0;

impl Drawing {
    /// Whether it is made for an A3 page.
    #[must_use]
    pub fn for_a3(&self) -> bool {
        self.size_mm.0 > WIDEST_FOR_A_PAGE
    }
}

/// Everything drawn for a project. A drawing with nothing to show is left out.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sheets {
    /// The small map of a report's first page.
    pub front: Option<Drawing>,
    /// Maps, each made for a whole page.
    pub maps: Vec<Drawing>,
    /// The site map for the wall, on A3, which stands in no document, and where its frame lies on the ground.
    pub wall: Option<(Drawing, Option<map::Georeference>)>,
    /// Charts, each made for the width of a text page.
    pub charts: Vec<Drawing>,
    /// Maps of the rows to be set out, each made for a whole page.
    pub rows: Vec<Drawing>,
    /// The same maps for A3, which stand in no document.
    pub large_rows: Vec<Drawing>,
    /// Drawings of the set-out: the rows in section, the calendar.
    pub plan: Vec<Drawing>,
}

/// Draws everything there is to draw.
#[must_use]
pub fn sheets(project: &Project, plan: Option<&Plan>, filled: &Filled) -> Sheets {
    let mut sheets = sheets_but_plan(project, filled);
    if let Some(plan) = plan {
        sheets.add_plan(project, plan, &filled.ledger);
    }
    sheets
}

/// Draws everything but the plan, of which it needs no figure.
#[must_use]
pub fn sheets_but_plan(project: &Project, filled: &Filled) -> Sheets {
    let (maps, charts) = rayon::join(|| maps(project, filled), || charts(project, &filled.ledger));
    let (front, wall) = rayon::join(|| map::front(project), || map::wall(project, filled));
    Sheets { front, maps, wall, charts, ..Sheets::default() }
}

impl Sheets {
    /// Makes what was left for later of every drawing, one after the other, so that others need not wait for it.
    pub fn finish(&self) {
        let lists = [&self.maps, &self.charts, &self.rows, &self.large_rows, &self.plan];
        let alone = self.front.iter().chain(self.wall.iter().map(|(drawing, _)| drawing));
        for drawing in alone.chain(lists.into_iter().flatten()) {
            let _: &str = &drawing.svg;
        }
    }

    /// Draws the plan too, whose figures stand in the ledger by now.
    pub fn add_plan(&mut self, project: &Project, plan: &Plan, ledger: &Ledger) {
        [self.rows, self.large_rows, self.plan] = set_out(project, plan, ledger);
    }
}
