//! The locator: where on the Earth the site lies, or where on the site a detail map lies.

use geo::{Coord, LineString, MultiPolygon, Point, Polygon, Rect};

use crate::draw::{
    map::{
        clip,
        printed::Printed,
        scale::Scale,
        sign::{LEAF, PALE_LEAF},
        ticks::{Side, Tick, ticks},
        window::{Window, extent, grown},
    },
    palette::{ACCENT, INK, RULE, SOFT_INK},
    svg::{Anchor, Stroke, Svg, line_data, polygon_data},
    text::{Line, SMALLEST_POINTS},
};
use hillfolio_core::geometry::Plane;

/// Scale of the graticule: 33 mm of paper are about 660 km.
const GRATICULE: Scale = Scale::of(20_000_000);

/// Least distance of the graticule's lines, mm.
const GRATICULE_MM: f64 = 7.0;

/// What a locator shows.
#[derive(Debug, Clone, PartialEq)]
pub enum Locator {
    /// The site on the lines of longitude and latitude about it.
    Graticule,
    /// The map's frame among all the areas.
    Among(Vec<MultiPolygon<f64>>),
}

/// Draws the locator of the map in `window` into `place`.
pub fn draw(svg: &mut Svg, place: Rect<f64>, window: &Window, locator: &Locator) {
    match locator {
        Locator::Graticule => graticule(svg, place, window.plane.centre()),
        Locator::Among(areas) => among(svg, place, window, areas),
    }
}

fn box_of(svg: &mut Svg, place: Rect<f64>) {
    svg.oblong(place.min(), (place.width(), place.height()), "#ffffff", Some(&Stroke::solid(SOFT_INK, 0.2)));
}

fn graticule(svg: &mut Svg, place: Rect<f64>, site: Point<f64>) {
    let window = Window { plane: Plane::about(site), scale: GRATICULE, frame: grown(place, -3.2) };
    let ticks = ticks(&window, Printed::Degrees, GRATICULE_MM);
    box_of(svg, window.frame);
    for line in graticule_lines(&window, &ticks) {
        svg.path(&line_data(&line), "none", Some(&Stroke::solid(RULE, 0.25)));
    }
    for tick in ticks.iter().filter(|tick| matches!(tick.side, Side::Bottom | Side::Left)) {
        label(svg, window.frame, tick);
    }
    let middle = window.frame.center();
    svg.circle(middle, 2.0, "none", Some(&Stroke::solid(ACCENT, 0.5)));
    svg.circle(middle, 0.6, ACCENT, None);
    for (at, words) in [minutes(site.y(), ['N', 'S']), minutes(site.x(), ['E', 'W'])].into_iter().enumerate()
    {
        let place = Coord { x: middle.x, y: middle.y + 5.4 + 2.8 * at as f64 };
        svg.words(place, Anchor::Middle, 0.0, &Line::new(words, SMALLEST_POINTS), true);
    }
}

/// Degrees and tenths of minutes with the letter of the half of the Earth.
fn minutes(degrees: f64, letters: [char; 2]) -> String {
    let tenths = (degrees.abs() * 600.0).round();
    let letter = match tenths {
        0.0 | 108_000.0 => String::new(),
        _ => format!(" {}", letters[usize::from(degrees < 0.0)]),
    };
    format!("{:.0}° {:04.1}′{letter}", (tenths / 600.0).floor(), tenths % 600.0 / 10.0)
}

/// The lines of longitude and latitude through the ticks, drawn across the frame.
fn graticule_lines(window: &Window, ticks: &[Tick]) -> Vec<LineString<f64>> {
    let frame = window.frame;
    let pieces = 24_u32;
    let mut lines = Vec::new();
    for level in [true, false] {
        let mut values: Vec<f64> =
            ticks.iter().filter(|tick| tick.side.is_level() == level).map(|tick| tick.value).collect();
        values.sort_by(f64::total_cmp);
        values.dedup();
        // A line is drawn between the outermost values of the other coordinate that the frame's corners and ticks see.
        let Some((low, high)) = other_span(window, usize::from(level)) else { continue };
        for value in values {
            let place = |n: u32| {
                let other = low + (high - low) * f64::from(n) / f64::from(pieces);
                Printed::Degrees.place(window, if level { [value, other] } else { [other, value] })
            };
            let line = LineString((0..=pieces).filter_map(place).collect());
            lines.extend(clip::line(&line, frame));
        }
    }
    lines
}

/// The least and the greatest longitude (0) or latitude (1) round the frame, in seconds.
fn other_span(window: &Window, axis: usize) -> Option<(f64, f64)> {
    let sides = Side::ALL.into_iter().flat_map(|side| {
        let (from, to) = side.ends(window.frame);
        (0..8u32).map(move |n| Coord {
            x: from.x + (to.x - from.x) * f64::from(n) / 8.0,
            y: from.y + (to.y - from.y) * f64::from(n) / 8.0,
        })
    });
    let values = sides.filter_map(|place| Printed::Degrees.under(window, place)).map(|pair| pair[axis]);
    values.fold(None, |span: Option<(f64, f64)>, value| {
        let (low, high) = span.unwrap_or((value, value));
        Some((low.min(value), high.max(value)))
    })
}

fn label(svg: &mut Svg, frame: Rect<f64>, tick: &Tick) {
    let line = Line::new(tick.label.clone(), SMALLEST_POINTS).colour(SOFT_INK);
    let half = line.width() / 2.0;
    match tick.side {
        Side::Bottom if tick.at.x - half > frame.min().x - 1.0 && tick.at.x + half < frame.max().x + 1.0 => {
            svg.words(Coord { x: tick.at.x, y: tick.at.y + 2.6 }, Anchor::Middle, 0.0, &line, false);
        }
        Side::Left if tick.at.y - half > frame.min().y - 1.0 && tick.at.y + half < frame.max().y + 1.0 => {
            svg.words(Coord { x: tick.at.x - 0.9, y: tick.at.y }, Anchor::Middle, -90.0, &line, false);
        }
        _ => {}
    }
}

fn among(svg: &mut Svg, place: Rect<f64>, window: &Window, areas: &[MultiPolygon<f64>]) {
    let corners = [window.frame.min(), window.frame.max()];
    let outline: Vec<Point<f64>> = [(0, 0), (1, 0), (1, 1), (0, 1), (0, 0)]
        .map(|(x, y): (usize, usize)| window.position(Coord { x: corners[x].x, y: corners[y].y }))
        .to_vec();
    let coords = areas.iter().flatten().flat_map(|polygon| polygon.exterior().points());
    let everything: Vec<Point<f64>> = coords.chain(outline.iter().copied()).collect();
    let Some(ground) = extent(&window.plane, &everything) else { return };
    let middle = window.plane.position(ground.center());
    let plane = Plane::about(middle).turned(window.plane.up());
    let side = ground.width().max(ground.height()).max(1.0) * 1.12;
    // The locator carries no scale, so that it may fill its box.
    let denominator = (side / place.width().min(place.height()) * 1000.0).ceil().min(f64::from(u32::MAX));
    let inset = Window { plane, scale: Scale::of(denominator as u32), frame: place };
    box_of(svg, place);
    for area in areas {
        let data: String = inset.polygons(area).iter().map(polygon_data).collect();
        svg.path(&data, PALE_LEAF, Some(&Stroke::solid(LEAF, 0.25)));
    }
    let frame: Vec<Coord<f64>> = outline.iter().map(|corner| inset.paper(*corner)).collect();
    let frame = Polygon::new(LineString(frame), Vec::new());
    svg.path(&polygon_data(&frame), "none", Some(&Stroke::solid("#ffffff", 1.0)));
    svg.path(&polygon_data(&frame), "none", Some(&Stroke::solid(INK, 0.45)));
}
