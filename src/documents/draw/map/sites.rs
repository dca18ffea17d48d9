//! The map of a portfolio: where each of its sites lies, and how its targets stand.

use geo::{BoundingRect, Coord, LineString, Point, Rect};

use crate::draw::{
    Drawing,
    map::{
        item::{Item, Label, Named, name},
        layout::Paper,
        locator::Locator,
        printed::Printed,
        sheet::{MapSpec, composed},
        sign::{Sign, SiteMark},
        source_note::SourceNote,
        window::Window,
    },
    text::{Line, Weight},
};
use hillfolio_core::project::Shape;

/// So many sites are called by name on the map; more of them by number alone.
const CALLED_BY_NAME: usize = 40;

/// Ground about the outermost sites, as a share of the map's side, so that their signs stand clear of its edge.
const MARGIN: f64 = 0.05;

/// A site of a portfolio.
#[derive(Debug, Clone, PartialEq)]
pub struct Site {
    /// Its number in the report's tables.
    pub number: usize,
    /// Its name.
    pub name: String,
    /// The box about its planting areas, in longitude and latitude.
    pub extent: Rect<f64>,
    /// How its targets stand.
    pub mark: SiteMark,
}

/// Draws where `sites` lie; `None` where there are none. `state` says of which day the map is.
#[must_use]
pub fn sites(sites: &[Site], state: &str) -> Option<Drawing> {
    let by_name = sites.len() <= CALLED_BY_NAME;
    let plan = MapSpec {
        name: "sites-map".to_owned(),
        title: "Where the sites lie".to_owned(),
        caption: format!(
            "Each site stands at the middle of its planting areas, with its number in the tables{}.",
            if by_name { " and its name" } else { "" }
        ),
        items: sites.iter().map(|site| item(site, by_name)).collect(),
        core: core(sites),
        widens: false,
        grounds: Vec::new(),
        relief: None,
        locator: Locator::Graticule,
        paper: Paper::Page,
    };
    let note = |window: &Window, _: Printed<'_>| SourceNote::of_sites(window, state);
    let mut drawing = composed(None, &note, &plan)?.drawing;
    let count = |mark| sites.iter().filter(|site| site.mark == mark).count();
    drawing.alt = format!(
        "{} {} sites: {} with their targets met or probably met, {} with a target not met or not shown, {} with none judged. The \
         tables of the report name each of them.",
        drawing.alt,
        sites.len(),
        count(SiteMark::Met),
        count(SiteMark::Short),
        count(SiteMark::Unjudged)
    );
    Some(drawing)
}

/// What the map has to hold: the corners of every site, moved outward a little from the middle of all.
fn core(sites: &[Site]) -> Vec<Point<f64>> {
    let corners = |site: &Site| {
        let (low, high) = (site.extent.min(), site.extent.max());
        [low, Coord { x: high.x, y: low.y }, high, Coord { x: low.x, y: high.y }]
    };
    let all: Vec<Coord<f64>> = sites.iter().flat_map(corners).collect();
    let Some(bounds) = LineString(all.clone()).bounding_rect() else { return Vec::new() };
    let (width, height) = (MARGIN * bounds.width(), MARGIN * bounds.height());
    let middle = bounds.center();
    let outward = |at: Coord<f64>| {
        let away = |along: f64, by: f64| if along < 0.0 { -by } else { by };
        Point::new(
            at.x + away(at.x - middle.x, width),
            (at.y + away(at.y - middle.y, height)).clamp(-90.0, 90.0),
        )
    };
    all.into_iter().map(outward).collect()
}

fn item(site: &Site, by_name: bool) -> Item {
    let words = match site.mark {
        SiteMark::Met => "Targets met or probably met",
        SiteMark::Short => "A target not met or not shown",
        SiteMark::Unjudged => "No target due and measured",
    };
    let number = Line::new(site.number.to_string(), 7.0).weight(Weight::SemiBold);
    let named = Line::new(format!("{} {}", site.number, name(&site.name)), 7.0);
    let forms = if by_name { vec![vec![named], vec![number]] } else { vec![vec![number]] };
    Item {
        sign: Sign::Site(site.mark),
        words: words.to_owned(),
        shape: Shape::Points(vec![Point(site.extent.center())].into()),
        bearing: None,
        label: Some(Label { named: Named::Site, forms }),
    }
}
