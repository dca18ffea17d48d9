//! One map from its items: fitted to paper, drawn, lettered, with legend, scale, north, locator and notes.

use std::collections::{BTreeMap, BTreeSet};

use geo::{BoundingRect, Centroid, Coord, CoordsIter, MultiPolygon, Point, Rect};

use crate::{
    draw::{
        Drawing,
        map::{
            furniture,
            item::{Item, Label, Named},
            layout::{self, LOCATOR, Layout, Panel},
            legend,
            locator::{self, Locator},
            paint,
            patch::Patch,
            placement::{Form, Paper, Placed, Wanted},
            scale::Scale,
            sign::{Extent, Sign, surface_fill},
            site::grid_of,
            source_note::SourceNote,
            spots,
            ticks::{self, CLOSEST_MM, Printed},
            window::{Drawn, Window, bearing_on_paper, extent, grown, rings, upright},
        },
        palette::INK,
        svg::{Anchor, Stroke, Svg, line_data},
    },
    geometry::Grid,
    project::{FeatureKind, Project, Shape},
    units::Degrees,
};

/// An area drawn smaller than this, in mm, is ringed so that it is found.
const SEEN_MM: f64 = 2.0;

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

/// An item brought to paper.
struct Inked<'a> {
    item: &'a Item,
    drawn: Drawn,
    bearing: Option<Degrees>,
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

fn ink<'a>(item: &'a Item, window: &Window) -> Option<Inked<'a>> {
    let drawn = window.drawn(&item.shape)?;
    // A surface without a fill shows by its outline only.
    if surface_fill(item.sign).is_none() && !drawn.outline_shows(window.frame) {
        return None;
    }
    let bearing = item.bearing.map(|bearing| bearing_on_paper(&window.plane, bearing));
    Some(Inked { item, drawn, bearing })
}

/// A ring about each part of an area that is too small to see.
fn rings_about(items: &[Item], window: &Window) -> Vec<Item> {
    let is_area = |sign| matches!(sign, Sign::Area | Sign::Planted(_) | Sign::Unplanted);
    let mut rings = Vec::new();
    for item in items.iter().filter(|item| is_area(item.sign)) {
        let Shape::Polygons(polygons) = &item.shape else { continue };
        if speck(&window.polygons(polygons)).is_some() {
            let middle: Vec<Point<f64>> = polygons.centroid().into_iter().collect();
            rings.push(Item {
                sign: Sign::Ring,
                words: "Area too small to see here".to_owned(),
                shape: Shape::Points(middle.into()),
                bearing: None,
                label: None,
            });
        }
    }
    rings
}

/// The middle of a surface that is too small to see.
fn speck(surface: &MultiPolygon<f64>) -> Option<Coord<f64>> {
    let bounds = surface.bounding_rect()?;
    (bounds.width().max(bounds.height()) < SEEN_MM).then(|| bounds.center())
}

/// The paper that an item's signs take.
fn symbols(one: &Inked<'_>) -> Vec<Patch> {
    let Drawn::Points(places) = &one.drawn else { return Vec::new() };
    let square = |place: &Coord<f64>| {
        let side = 2.0 * radius(one.item.sign);
        Patch::new(*place, (side, side), 0.0)
    };
    let mut patches: Vec<Patch> = places.iter().map(square).collect();
    if let Some(bearing) = one.bearing {
        let end = |from: &Coord<f64>| Coord {
            x: from.x + paint::WEDGE_MM * bearing.sin(),
            y: from.y - paint::WEDGE_MM * bearing.cos(),
        };
        // Narrow by the camera, wide at the far end.
        for from in places {
            let to = end(from);
            let middle = Coord { x: (from.x + to.x) / 2.0, y: (from.y + to.y) / 2.0 };
            patches.extend([Patch::along(*from, middle, 2.0), Patch::along(middle, to, 3.9)]);
        }
    }
    patches
}

fn radius(sign: Sign) -> f64 {
    match sign {
        Sign::Ring => paint::RING_MM,
        Sign::Feature(..) => 1.4,
        _ => paint::PLOT_MM + 0.1,
    }
}

/// Places the labels; also counts those that found no room.
fn lettered(
    inked: &[Inked<'_>],
    window: &Window,
    symbols: &[Patch],
) -> (Vec<Placed>, BTreeMap<Named, usize>) {
    let lines: Vec<geo::Line<f64>> = inked.iter().flat_map(|one| one.drawn.legs()).collect();
    let named: Vec<(&Inked<'_>, &Label)> =
        inked.iter().filter_map(|one| Some((one, one.item.label.as_ref()?))).collect();
    let wanted: Vec<Wanted> = named.iter().map(|(one, label)| wanted(one, label, window.frame)).collect();
    let placed = Paper::new(grown(window.frame, -0.6), symbols.to_vec(), &lines).place(&wanted);
    let mut unnamed = BTreeMap::new();
    for ((one, label), _) in named.iter().zip(&placed).filter(|(_, placed)| placed.is_none()) {
        // What only reaches in from outside needs no name here.
        let belongs = match &one.drawn {
            Drawn::Polygons(surface) => spots::mostly_inside(surface, window.frame),
            Drawn::Points(_) | Drawn::Lines(_) => true,
        };
        if belongs {
            *unnamed.entry(label.named).or_insert(0) += 1;
        }
    }
    (placed.into_iter().flatten().collect(), unnamed)
}

fn wanted(one: &Inked<'_>, label: &Label, frame: Rect<f64>) -> Wanted {
    let inside = match &one.drawn {
        Drawn::Polygons(surface) => spots::roomy_places(surface, frame),
        Drawn::Points(_) | Drawn::Lines(_) => Vec::new(),
    };
    let forms = label.forms.iter().map(|lines| {
        let spots = match (&one.drawn, one.item.sign) {
            (Drawn::Points(places), sign) => {
                places.iter().take(1).flat_map(|at| spots::about_point(*at, radius(sign), lines)).collect()
            }
            (Drawn::Lines(drawn), _) => spots::beside_lines(drawn, lines),
            (Drawn::Polygons(surface), Sign::DetailFrame) => spots::in_corners(surface, lines),
            (
                Drawn::Polygons(surface),
                Sign::Feature(_, FeatureKind::Property | FeatureKind::Fence, _, _),
            ) => {
                let edges: Vec<_> = surface.iter().flat_map(rings).cloned().collect();
                spots::beside_lines(&edges, lines)
            }
            (Drawn::Polygons(surface), _) => match speck(surface) {
                Some(middle) => spots::about_point(middle, paint::RING_MM, lines),
                None => spots::about_surface(surface, &inside, frame, lines),
            },
        };
        let roams = label.named == Named::Area;
        Form { lines: lines.clone(), spots, roams }
    });
    Wanted { rank: label.named as u8, forms: forms.collect() }
}

fn letter(svg: &mut Svg, label: &Placed) {
    if let Some(leader) = label.leader {
        let data = line_data(&geo::LineString(vec![leader.start, leader.end]));
        svg.path(&data, "none", Some(&Stroke::solid("#ffffff", 0.7)));
        svg.path(&data, "none", Some(&Stroke::solid(INK, 0.22)));
    }
    let (_, height) = Form::size(&label.lines);
    let (sin, cos) = (libm::sin(label.patch.turn.to_radians()), libm::cos(label.patch.turn.to_radians()));
    let mut down = -height / 2.0;
    for line in &label.lines {
        // The baseline lies where capitals stand in the middle of the line's height.
        let base = down + 0.5 * (line.height() + 0.727 * line.points * crate::draw::text::POINT_MM);
        let at = Coord { x: label.patch.centre.x - sin * base, y: label.patch.centre.y + cos * base };
        svg.words(at, Anchor::Middle, label.patch.turn, line, true);
        down += line.height();
    }
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

/// Things with a name of their own that lie off the map, by kind.
fn outside(plan: &Plan, inked: &[Inked<'_>]) -> BTreeMap<Named, usize> {
    let mut counts: BTreeMap<Named, usize> = BTreeMap::new();
    for label in plan.items.iter().filter_map(|item| item.label.as_ref()) {
        *counts.entry(label.named).or_insert(0) += 1;
    }
    for label in inked.iter().filter_map(|one| one.item.label.as_ref()) {
        counts.entry(label.named).and_modify(|count| *count -= 1);
    }
    counts.retain(|_, count| *count > 0);
    counts
}

fn listed(counts: &BTreeMap<Named, usize>) -> String {
    let parts: Vec<String> =
        counts.iter().map(|(named, count)| format!("{count} {}", named.words(*count))).collect();
    parts.join(", ")
}

fn caption(plan: &Plan, unnamed: &BTreeMap<Named, usize>, outside: &BTreeMap<Named, usize>) -> String {
    let mut caption = plan.caption.clone();
    if !unnamed.is_empty() {
        caption += &format!(" Drawn without a name for want of room: {}.", listed(unnamed));
    }
    if !outside.is_empty() {
        caption += &format!(" Beyond the edge of this map: {}.", listed(outside));
    }
    caption
}

fn alt(plan: &Plan, window: &Window, legend: &[(Sign, String)]) -> String {
    let areas: Vec<&str> = plan
        .items
        .iter()
        .filter_map(|item| item.label.as_ref().filter(|label| label.named == Named::Area))
        .filter_map(|label| label.forms.last()?.first())
        .map(|line| line.text.as_str())
        .collect();
    let shown: Vec<&str> = legend
        .iter()
        .filter(|(sign, _)| !matches!(sign, Sign::Feature(_, _, _, Extent::Point) | Sign::Ring))
        .map(|(_, words)| words.as_str())
        .collect();
    let named = match areas.len() {
        0 => String::new(),
        count if count <= 6 => format!(" of {}", areas.join(", ")),
        count => format!(" of {count} planting areas"),
    };
    let scale: Scale = window.scale;
    format!("Map{named} at {}. Shown: {}.", scale.printed(), shown.join("; "))
}
