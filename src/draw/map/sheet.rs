//! One map from its items: fitted to paper, drawn, lettered, with legend, scale, north, locator and notes.

use std::collections::{BTreeMap, BTreeSet};

use geo::{Coord, CoordsIter, Point, Rect};

use crate::{
    draw::{
        Drawing,
        map::{
            caption::{alt, caption, outside},
            furniture,
            inked::{Inked, ink, rings_about, symbols},
            item::{Item, Named},
            layout::{self, LOCATOR, Layout, Panel},
            legend,
            lettering::{letter, lettered},
            locator::{self, Locator},
            paint,
            patch::Patch,
            placement::Placed,
            printed::{CLOSEST_MM, Printed},
            sign::Sign,
            site::grid_of,
            source_note::SourceNote,
            ticks,
            window::{Window, extent, grown, upright},
        },
        svg::Svg,
    },
    geometry::Grid,
    project::{Project, Shape},
};

/// How much a feature, plot or photo point beyond the areas may widen a map: this share of its side, and 20 m.
const WIDENING: f64 = 0.25;

/// What a map is to show.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The drawing's slug.
    pub name: String,
    /// Its title.
    pub title: String,
    /// What its caption says first, one sentence.
    pub caption: String,
    /// What is drawn.
    pub items: Vec<Item>,
    /// What the map has to hold.
    pub core: Vec<Point<f64>>,
    /// Whether things a little beyond the core are taken in, and missing ones reported.
    pub widens: bool,
    /// What its locator shows.
    pub locator: Locator,
}

/// A finished map.
#[derive(Debug, Clone)]
pub struct Map {
    /// The drawing.
    pub drawing: Drawing,
    /// What it shows at which scale.
    pub window: Window,
    /// Its labels in their places.
    pub labels: Vec<Placed>,
    /// The paper that the labels have to leave free.
    pub symbols: Vec<Patch>,
    /// Its legend.
    pub legend: Vec<(Sign, String)>,
    /// How many things of each kind are drawn without their names, for want of room.
    pub unnamed: BTreeMap<Named, usize>,
}

/// Where the map of `plan` will lie on paper and at which scale.
#[must_use]
pub(super) fn window_of(plan: &Plan, grid: Option<&Grid>) -> Option<(Layout, Window)> {
    let (first, core) = upright(&plan.core, grid)?;
    let mut positions = plan.core.clone();
    if plan.widens {
        let reach = grown(core, WIDENING * core.width().max(core.height()) + 20.0);
        for item in &plan.items {
            let places: Vec<Point<f64>> = spots_of(item);
            let near = extent(&first, &places).is_some_and(|place| holds(reach, place));
            positions.extend(places.into_iter().filter(|_| near));
        }
    }
    let (plane, ground) = upright(&positions, grid)?;
    let fitted = |rows: usize| {
        let (layout, scale) = layout::largest(rows, (ground.width(), ground.height()));
        (layout, Window { plane, scale, frame: layout.frame })
    };
    // Room for every sign there might be, then for those that show: the frame may grow by what the legend leaves.
    let most = plan.items.iter().map(|item| item.sign).collect::<BTreeSet<_>>().len() + 1;
    let roomy = fitted(most);
    let snug = fitted(legend_rows(plan, &roomy.1));
    let fits = legend_rows(plan, &snug.1) <= legend_rows(plan, &roomy.1);
    Some(if fits { snug } else { roomy })
}

/// Rows that the legend of `plan` takes in `window`.
fn legend_rows(plan: &Plan, window: &Window) -> usize {
    let rings = usize::from(!rings_about(&plan.items, window).is_empty());
    let signs = plan.items.iter().filter_map(|item| ink(item, window)).map(|one| one.item.sign);
    signs.collect::<BTreeSet<_>>().len() + rings
}

fn holds(outer: Rect<f64>, inner: Rect<f64>) -> bool {
    outer.min().x <= inner.min().x
        && outer.min().y <= inner.min().y
        && outer.max().x >= inner.max().x
        && outer.max().y >= inner.max().y
}

fn spots_of(item: &Item) -> Vec<Point<f64>> {
    match &item.shape {
        Shape::Points(points) => points.0.clone(),
        Shape::Lines(lines) => lines.coords_iter().map(Point).collect(),
        Shape::Polygons(polygons) => polygons.coords_iter().map(Point).collect(),
    }
}

/// Draws the map of `plan`; `None` where it has nothing to hold.
#[must_use]
pub fn compose(project: &Project, plan: &Plan) -> Option<Map> {
    let grid = grid_of(project);
    let (layout, window) = window_of(plan, grid.as_ref())?;
    let printed = Printed::of(grid.as_ref());
    let mut items = plan.items.clone();
    items.extend(rings_about(&plan.items, &window));
    items.sort_by_key(|item| item.sign.layer());
    let inked: Vec<Inked<'_>> = items.iter().filter_map(|item| ink(item, &window)).collect();
    let legend: BTreeMap<Sign, String> =
        inked.iter().map(|one| (one.item.sign, one.item.words.clone())).collect();
    let legend: Vec<(Sign, String)> = legend.into_iter().collect();
    let symbols: Vec<Patch> = inked.iter().flat_map(symbols).collect();
    let (labels, unnamed) = lettered(&inked, &window, &symbols);

    let ticks = ticks::ticks(&window, printed, CLOSEST_MM);
    let mut svg = Svg::new(layout.size);
    svg.oblong(Coord::zero(), layout.size, "#ffffff", None);
    paint::patterns(&mut svg, legend.iter().map(|(sign, _)| *sign));
    furniture::open_frame(&mut svg, "map", window.frame);
    for one in &inked {
        paint::sign(&mut svg, one.item.sign, &one.drawn, one.bearing);
    }
    furniture::crosses(&mut svg, &ticks::crossings(&window, printed, &ticks));
    labels.iter().for_each(|label| letter(&mut svg, label));
    furniture::close_frame(&mut svg);
    furniture::frame(&mut svg, &window, &ticks);
    let source = SourceNote::of(project, &window, printed);
    panel(&mut svg, &layout, &window, plan, &legend, &source);
    let width = layout.size.0 - layout.notes.x;
    let lines = if layout.landscape { 2 } else { 3 };
    furniture::notes(&mut svg, layout.notes, width, &source.sentences(), lines);

    let outside = if plan.widens { outside(plan, &inked) } else { BTreeMap::new() };
    let drawing = Drawing {
        name: plan.name.clone(),
        title: plan.title.clone(),
        alt: alt(plan, &window, &legend),
        caption: caption(plan, &unnamed, &outside),
        svg: svg.finish(),
        size_mm: layout.size,
        landscape: layout.landscape,
    };
    Some(Map { drawing, window, labels, symbols, legend, unnamed })
}

fn panel(
    svg: &mut Svg,
    layout: &Layout,
    window: &Window,
    plan: &Plan,
    entries: &[(Sign, String)],
    source: &SourceNote,
) {
    let area = layout.panel_box;
    let (left, top, right, bottom) = (area.min().x, area.min().y, area.max().x, area.max().y);
    let oblong =
        |x0: f64, y0: f64, x1: f64, y1: f64| Rect::new(Coord { x: x0, y: y0 }, Coord { x: x1, y: y1 });
    let words = source.north();
    match layout.panel {
        Panel::Beside => {
            legend::draw(svg, oblong(left, top, right, bottom - LOCATOR - 36.0), 1, entries);
            let scale_top = bottom - LOCATOR - 34.0;
            furniture::scale(svg, Coord { x: left, y: scale_top }, window.scale);
            furniture::north(svg, Coord { x: left, y: scale_top + 14.5 }, &words, right - left);
            locator::draw(svg, oblong(left, bottom - LOCATOR, left + LOCATOR, bottom), window, &plan.locator);
        }
        Panel::Below => {
            furniture::scale(svg, Coord { x: left, y: top }, window.scale);
            furniture::north(svg, Coord { x: left, y: top + 15.0 }, &words, 50.0);
            let legend_box = oblong(left + 51.0, top, right - LOCATOR - 1.0, bottom);
            legend::draw(svg, legend_box, layout.legend_columns, entries);
            locator::draw(svg, oblong(right - LOCATOR, top, right, top + LOCATOR), window, &plan.locator);
        }
    }
}
