//! One map from its items: fitted to paper, drawn, lettered, with legend, scale, north, locator and notes.

use std::{
    collections::{BTreeMap, BTreeSet},
    sync::Arc,
};

use geo::{Coord, CoordsIter, Point, Rect};

use crate::draw::{
    Drawing,
    map::{
        backdrop::{self, ThematicLayer},
        caption::{alt, caption, outside},
        contour::{CLOSEST_CONTOURS_MM, CLOSEST_QUIET_MM, Contours, contours},
        furniture,
        inked::{Inked, Laid, ink, rings_about, symbols},
        item::{Item, Named},
        layout::{self, LOCATOR, Layout, Panel, Paper},
        legend,
        lettering::{Lettering, clear_pattern, letter, lettered},
        locator::{self, Locator},
        paint,
        patch::Patch,
        placement::Placed,
        printed::{CLOSEST_MM, Printed},
        row_numbers::{Numbers, numbered},
        sign::Sign,
        site::grid_of,
        source_note::SourceNote,
        ticks,
        window::{Window, extent, grown, upright},
    },
    svg::Svg,
};
use hillfolio_core::{
    geometry::Grid,
    project::{Project, Shape},
    terrain,
};

/// How much a feature, plot or photo point beyond the areas may widen a map: this share of its side, and 20 m.
const WIDENING: f64 = 0.25;

/// The specification of a map: what it shows and holds, on what paper.
#[derive(Debug, Clone, PartialEq)]
pub struct MapSpec {
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
    /// The coloured ground beneath: none, or one for each map on the sheet.
    pub grounds: Vec<ThematicLayer>,
    /// Heights that are drawn as a quiet shade with contours, where no ground is coloured.
    pub relief: Option<Arc<terrain::Grid>>,
    /// What its locator shows.
    pub locator: Locator,
    /// What it is printed on.
    pub paper: Paper,
}

/// A finished map.
#[derive(Debug, Clone)]
pub struct Map {
    /// The drawing.
    pub drawing: Drawing,
    /// Its map; two where one is held against another.
    pub faces: Vec<Face>,
    /// Its legend.
    pub legend: Vec<(Sign, String)>,
    /// How many things of each kind are drawn without their names, for want of room.
    pub unnamed: BTreeMap<Named, usize>,
}

/// One map of a sheet.
#[derive(Debug, Clone)]
pub struct Face {
    /// What it shows at which scale.
    pub window: Window,
    /// Its labels in their places, the numbers of rows first.
    pub labels: Vec<Placed>,
    /// The paper that the labels have to leave free.
    pub symbols: Vec<Patch>,
    /// The paper under the lines that are drawn.
    pub lines: Vec<Patch>,
}

/// Where the map of `plan` will lie on paper and at which scale.
#[must_use]
pub(super) fn window_of(plan: &MapSpec, grid: Option<&Grid>) -> Option<(Layout, Window)> {
    window_about(plan, &laid(&plan.items), grid)
}

fn laid(items: &[Item]) -> Vec<Laid<'_>> {
    items.iter().map(Laid::new).collect()
}

/// The same, with the items of the plan to be laid on the window's plane.
fn window_about(plan: &MapSpec, laid: &[Laid<'_>], grid: Option<&Grid>) -> Option<(Layout, Window)> {
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
        let maps = plan.grounds.len().max(1);
        let (layout, scale) = layout::largest(plan.paper, rows, maps, (ground.width(), ground.height()));
        // A sheet for the field fills its page.
        let layout =
            if plan.paper == Paper::Page { layout.cut_to(scale.paper(ground.height())) } else { layout };
        (layout, Window { plane, scale, frame: layout.frames.first() })
    };
    // Room for every sign there might be, then for those that show: the frame may grow by what the legend leaves.
    let signs = plan.items.iter().map(|item| item.sign).collect::<BTreeSet<_>>().len() + 1;
    let most = signs + ground_rows(plan);
    let roomy = fitted(most);
    let rows = legend_rows(plan, laid, &roomy.1);
    let snug = fitted(rows);
    Some(if legend_rows(plan, laid, &snug.1) <= rows { snug } else { roomy })
}

/// Rows that the legend of `plan` takes in `window`.
fn legend_rows(plan: &MapSpec, laid: &[Laid<'_>], window: &Window) -> usize {
    let rings = usize::from(!rings_about(laid, window).is_empty());
    let mut signs = BTreeSet::new();
    for one in laid {
        // One thing drawn under a sign is enough: the others need not be cut to the frame to know.
        if !signs.contains(&one.item.sign) && ink(one, window).is_some() {
            signs.insert(one.item.sign);
        }
    }
    signs.len() + rings + ground_rows(plan)
}

/// Rows of the legend for the coloured ground: its classes, and two kinds of contours.
fn ground_rows(plan: &MapSpec) -> usize {
    plan.grounds.first().map_or(if plan.relief.is_some() { 2 } else { 0 }, |ground| {
        ground.scheme.classes().count() + if ground.contours { 2 } else { 0 }
    })
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

/// Draws the map of `plan`; `None` where it has nothing to hold, or none of the ground that it is about.
#[must_use]
pub fn compose(project: &Project, plan: &MapSpec) -> Option<Map> {
    let note = |window: &Window, printed: Printed<'_>| SourceNote::of(project, window, printed);
    composed(grid_of(project).as_ref(), &note, plan)
}

/// The same on a printed `grid`, with the words that `note` has for the window.
pub(super) fn composed(
    grid: Option<&Grid>,
    note: &dyn Fn(&Window, Printed<'_>) -> SourceNote,
    plan: &MapSpec,
) -> Option<Map> {
    let mut items = laid(&plan.items);
    let (layout, window) = window_about(plan, &items, grid)?;
    if !plan.grounds.is_empty() && !plan.grounds.iter().any(|ground| backdrop::shows(ground, &window)) {
        return None;
    }
    let printed = Printed::of(grid);
    let rings = rings_about(&items, &window);
    items.extend(rings.iter().map(Laid::new));
    items.sort_by_key(|laid| laid.item.sign.layer());
    let windows: Vec<Window> = layout.frames.all().map(|frame| Window { frame, ..window }).collect();
    let drafts = windows
        .iter()
        .enumerate()
        .map(|(at, window)| Draft::of(&items, plan.grounds.get(at), plan.relief.as_ref(), window));
    let drafts: Vec<Draft<'_>> = drafts.collect();
    let legend = entries(&drafts);

    let mut svg = Svg::new(layout.size);
    svg.oblong(Coord::zero(), layout.size, "#ffffff", None);
    paint::patterns(&mut svg, legend.iter().map(|(sign, _)| *sign));
    for (at, (draft, window)) in drafts.iter().zip(&windows).enumerate() {
        let id = if at == 0 { "map" } else { "map-2" };
        draft.draw(&mut svg, id, window, printed);
    }
    let source = note(&window, printed);
    panel(&mut svg, &layout, &window, plan, &legend, &source);
    let width = layout.size.0 - layout.notes.x;
    let lines = if layout.landscape { 2 } else { 3 };
    furniture::notes(&mut svg, layout.notes, width, &source.sentences(), lines);

    let first = drafts.first()?;
    let outside = if plan.widens { outside(plan, &first.inked) } else { BTreeMap::new() };
    let unnamed = first.lettering.unnamed.clone();
    let drawing = Drawing {
        name: plan.name.clone(),
        title: plan.title.clone(),
        alt: alt(plan, &window, &legend),
        caption: caption(plan, &window, &unnamed, &outside) + &first.numbers.words(),
        svg: svg.finish(),
        size_mm: layout.size,
        landscape: layout.landscape,
    };
    let faces = drafts.into_iter().zip(windows).map(|(draft, window)| draft.face(window)).collect();
    Some(Map { drawing, faces, legend, unnamed })
}

/// One map of a sheet, brought to paper and lettered.
struct Draft<'a> {
    ground: Option<&'a ThematicLayer>,
    relief: Option<&'a Arc<terrain::Grid>>,
    contours: Option<Contours>,
    inked: Vec<Inked<'a>>,
    symbols: Vec<Patch>,
    numbers: Numbers,
    lettering: Lettering,
}

impl<'a> Draft<'a> {
    fn of(
        items: &[Laid<'a>],
        ground: Option<&'a ThematicLayer>,
        relief: Option<&'a Arc<terrain::Grid>>,
        window: &Window,
    ) -> Draft<'a> {
        let inked: Vec<Inked<'_>> = items.iter().filter_map(|laid| ink(laid, window)).collect();
        let mut symbols: Vec<Patch> = inked.iter().flat_map(symbols).collect();
        symbols.extend(
            ground.and_then(|ground| ground.heading).map(|words| furniture::plaque(window.frame, words).0),
        );
        let contours = ground
            .filter(|ground| ground.contours)
            .and_then(|ground| contours(ground.heights.as_ref()?, window, CLOSEST_CONTOURS_MM))
            .or_else(|| contours(relief?, window, CLOSEST_QUIET_MM));
        let heights = contours.as_ref().map(Contours::wanted).unwrap_or_default();
        let numbers = numbered(&inked, &symbols, window.frame);
        let taken: Vec<Patch> = symbols.iter().copied().chain(numbers.patches()).collect();
        let lettering = lettered(&inked, window, &taken, heights);
        Draft { ground, relief, contours, inked, symbols, numbers, lettering }
    }

    fn draw(&self, svg: &mut Svg, id: &str, window: &Window, printed: Printed<'_>) {
        let ticks = ticks::ticks(window, printed, CLOSEST_MM);
        furniture::open_frame(svg, id, window.frame);
        if let Some(ground) = self.ground {
            backdrop::draw(svg, ground, window);
        }
        if let Some(heights) = self.relief {
            backdrop::draw_quiet_shade(svg, heights, window);
        }
        if let Some(contours) = &self.contours {
            let quiet = self.relief.is_some();
            svg.put(if quiet { r#"<g opacity="0.55">"# } else { "<g>" });
            contours.draw(svg, &self.lettering.heights);
            svg.put("</g>");
        }
        for one in &self.inked {
            paint::sign(svg, one.item.sign, &one.drawn, one.bearing);
        }
        furniture::crosses(svg, &ticks::crossings(window, printed, &ticks));
        self.lettering.heights.iter().for_each(|label| letter(svg, label, true));
        self.numbers.placed.iter().for_each(|label| letter(svg, label, true));
        let names = &self.lettering.names;
        names.iter().for_each(|label| clear_pattern(svg, label, &self.inked));
        names.iter().for_each(|label| letter(svg, label, true));
        if let Some(words) = self.ground.and_then(|ground| ground.heading) {
            furniture::draw_plaque(svg, window.frame, words);
        }
        furniture::close_frame(svg);
        furniture::frame(svg, window, &ticks);
    }

    fn face(self, window: Window) -> Face {
        let Lettering { names, heights, .. } = self.lettering;
        let labels = self.numbers.placed.into_iter().chain(names).chain(heights).collect();
        let legs = self.inked.iter().flat_map(|one| one.drawn.legs());
        let lines = legs.map(|leg| Patch::along(leg.start, leg.end, 0.1)).collect();
        Face { window, labels, symbols: self.symbols, lines }
    }
}

/// The legend: the classes of the ground, its contours, then every sign on any of the maps.
fn entries(drafts: &[Draft<'_>]) -> Vec<(Sign, String)> {
    let mut entries = Vec::new();
    if let Some(ground) = drafts.iter().find_map(|draft| draft.ground) {
        let classes = ground.scheme.classes().enumerate().map(|(at, (tint, words))| {
            let words = if at == 0 { format!("{} {words}", ground.subject) } else { words.to_owned() };
            (Sign::Ground(tint), words)
        });
        entries.extend(classes);
    }
    if let Some(contours) = drafts.iter().find_map(|draft| draft.contours.as_ref()) {
        let words = [false, true].into_iter().zip(contours.words());
        entries.extend(words.filter_map(|(heavy, words)| Some((Sign::Contour(heavy), words?))));
    }
    let signs = drafts.iter().flat_map(|draft| &draft.inked);
    let signs: BTreeMap<Sign, String> = signs.map(|one| (one.item.sign, one.item.words.clone())).collect();
    entries.extend(signs);
    entries
}

fn panel(
    svg: &mut Svg,
    layout: &Layout,
    window: &Window,
    plan: &MapSpec,
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
            furniture::north(svg, Coord { x: left, y: top + 15.0 }, &words, 46.0);
            let legend_box = oblong(left + 47.0, top, right - LOCATOR - 1.0, bottom);
            legend::draw(svg, legend_box, layout.legend_columns, entries);
            locator::draw(svg, oblong(right - LOCATOR, top, right, top + LOCATOR), window, &plan.locator);
        }
    }
}
