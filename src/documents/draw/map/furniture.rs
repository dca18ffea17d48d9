//! What a map needs beside the ground: frame and ticks, scale bar, north arrow, notes.

use geo::{Coord, LineString, Rect};

use crate::draw::{
    map::{
        patch::Patch,
        scale::{Scale, distance_words},
        ticks::{Side, Tick},
        window::Window,
    },
    palette::{INK, SOFT_INK},
    svg::{Anchor, Stroke, Svg, line_data, mm},
    text::{CAP_HEIGHT, Line, POINT_MM, SMALLEST_POINTS, Weight, wrapped},
};
use hillfolio_core::units::{Degrees, number};

/// The longest a scale bar may be, mm.
pub const LONGEST_BAR: f64 = 44.0;

/// Type of the coordinates round the frame, points.
const TICK_POINTS: f64 = SMALLEST_POINTS;

/// Draws small crosses where the grid's lines cross inside the frame.
pub fn crosses(svg: &mut Svg, places: &[Coord<f64>]) {
    let data: String = places
        .iter()
        .map(|place| {
            let (x, y) = (mm(place.x), mm(place.y));
            format!("M{x} {y}m-1.2 0h2.4M{x} {y}m0 -1.2v2.4")
        })
        .collect();
    svg.path(&data, "none", Some(&Stroke::solid("#9aa39d", 0.15)));
}

/// Draws the frame with its ticks and the coordinates beside them.
pub fn frame(svg: &mut Svg, window: &Window, ticks: &[Tick]) {
    let frame = window.frame;
    svg.oblong(frame.min(), (frame.width(), frame.height()), "none", Some(&Stroke::solid(INK, 0.35)));
    let (mut data, mut ends) = (String::new(), [f64::NEG_INFINITY; 4]);
    for tick in ticks {
        let (dx, dy) = outward(tick.side);
        let end = Coord { x: tick.at.x + 1.2 * dx, y: tick.at.y + 1.2 * dy };
        data += &line_data(&LineString(vec![tick.at, end]));
        tick_label(svg, window, tick, &mut ends[tick.side as usize]);
    }
    svg.path(&data, "none", Some(&Stroke::solid(INK, 0.2)));
}

fn outward(side: Side) -> (f64, f64) {
    match side {
        Side::Top => (0.0, -1.0),
        Side::Right => (1.0, 0.0),
        Side::Bottom => (0.0, 1.0),
        Side::Left => (-1.0, 0.0),
    }
}

/// Prints a tick's coordinate outside the frame, where it neither runs past a corner nor into the one before.
fn tick_label(svg: &mut Svg, window: &Window, tick: &Tick, taken_to: &mut f64) {
    let line = Line::new(tick.label.clone(), TICK_POINTS).colour(SOFT_INK);
    let half = line.width() / 2.0;
    let (from, to) = tick.side.ends(window.frame);
    let (along, first, last) = match tick.side.is_level() {
        true => (tick.at.x, from.x, to.x),
        false => (tick.at.y, from.y, to.y),
    };
    if along - half < first || along + half > last || along - half < *taken_to + 1.0 {
        return;
    }
    *taken_to = along + half;
    let cap = CAP_HEIGHT * TICK_POINTS * POINT_MM;
    let (at, turn) = match tick.side {
        Side::Top => (Coord { x: tick.at.x, y: tick.at.y - 1.7 }, 0.0),
        Side::Bottom => (Coord { x: tick.at.x, y: tick.at.y + 1.7 + cap }, 0.0),
        Side::Left => (Coord { x: tick.at.x - 1.7, y: tick.at.y }, -90.0),
        Side::Right => (Coord { x: tick.at.x + 1.7 + cap, y: tick.at.y }, -90.0),
    };
    svg.words(at, Anchor::Middle, turn, &line, false);
}

/// The class of what says a map's scale as a ratio, which holds at its true size alone.
pub const PRINTED_SCALE: &str = "printed-scale";

/// The scale bar of a map: its length on the ground and on paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScaleBar {
    /// Metres on the ground.
    pub metres: f64,
    /// Millimetres on paper.
    pub paper: f64,
}

impl ScaleBar {
    /// The bar of a map at `scale`.
    #[must_use]
    pub fn of(scale: Scale) -> ScaleBar {
        let metres = scale.bar(LONGEST_BAR);
        ScaleBar { metres, paper: scale.paper(metres) }
    }
}

/// Draws the printed scale and its bar with the upper left corner at `corner`; takes 13 mm.
pub fn scale(svg: &mut Svg, corner: Coord<f64>, scale: Scale) {
    let heading = Line::new(scale.printed(), 9.0).weight(Weight::SemiBold);
    let beside = Coord { x: corner.x + heading.width() + 1.2, y: corner.y + 3.2 };
    // Set apart, for whoever shows the map at another size: the bar holds there, this does not.
    svg.put(format_args!("<g class=\"{PRINTED_SCALE}\">"));
    svg.words(Coord { x: corner.x, y: corner.y + 3.2 }, Anchor::Start, 0.0, &heading, false);
    svg.words(beside, Anchor::Start, 0.0, &Line::new("at this size", 7.0).colour(SOFT_INK), false);
    svg.put("</g>");
    let bar = ScaleBar::of(scale);
    let (top, height, parts) = (corner.y + 5.4, 1.3, 4u8);
    let part = bar.paper / f64::from(parts);
    for n in 0..parts {
        let from = Coord { x: corner.x + f64::from(n) * part, y: top };
        let fill = if n % 2 == 0 { INK } else { "#ffffff" };
        svg.oblong(from, (part, height), fill, Some(&Stroke::solid(INK, 0.2)));
    }
    let unit = if bar.metres >= 1000.0 { "km" } else { "m" };
    for (share, anchor) in [(0.0, Anchor::Start), (0.5, Anchor::Middle), (1.0, Anchor::Middle)] {
        let words = distance_words(share * bar.metres, bar.metres);
        let at = Coord { x: corner.x + share * bar.paper, y: top + height + 2.7 };
        let line = Line::new(words, SMALLEST_POINTS);
        svg.words(at, anchor, 0.0, &line, false);
        if share == 1.0 {
            let after = Coord { x: at.x + line.width() / 2.0 + 0.8, y: at.y };
            svg.words(after, Anchor::Start, 0.0, &Line::new(unit, SMALLEST_POINTS), false);
        }
    }
}

/// What the north arrow says: which north is up and where the other lies.
#[must_use]
pub fn north_words(grid: Option<&str>, convergence: Degrees) -> Vec<String> {
    let Some(grid) = grid else { return vec!["True north".to_owned()] };
    let side = if convergence.0 < 0.0 { "west" } else { "east" };
    let off = number(convergence.0.abs(), 2);
    let turned = match off.as_str() {
        "0.00" => "which is true north here".to_owned(),
        off => format!("{off}° {side} of true north"),
    };
    vec!["Grid north".to_owned(), grid.to_owned(), turned]
}

/// Draws the north arrow with its words, its upper left corner at `corner`; takes 15 mm.
pub fn north(svg: &mut Svg, corner: Coord<f64>, words: &[String], width: f64) {
    let tip = Coord { x: corner.x + 4.0, y: corner.y + 3.4 };
    let place = |x: f64, y: f64| Coord { x: tip.x + x, y: tip.y + y };
    let left = LineString(vec![place(0.0, 0.0), place(-2.2, 10.5), place(0.0, 8.2), place(0.0, 0.0)]);
    let right = LineString(vec![place(0.0, 0.0), place(2.2, 10.5), place(0.0, 8.2), place(0.0, 0.0)]);
    svg.path(&line_data(&left), INK, Some(&Stroke::solid(INK, 0.2)));
    svg.path(&line_data(&right), "#ffffff", Some(&Stroke::solid(INK, 0.2)));
    let letter = Line::new("N", 9.0).weight(Weight::Bold);
    svg.words(Coord { x: tip.x, y: tip.y - 0.8 }, Anchor::Middle, 0.0, &letter, false);
    let room = width - 9.5;
    let heading = words.iter().take(1).map(|words| Line::new(words.clone(), 7.0).weight(Weight::SemiBold));
    let rest = words.iter().skip(1).flat_map(|words| wrapped(words, SMALLEST_POINTS, room));
    for (at, line) in heading.chain(rest.map(|line| line.colour(SOFT_INK))).enumerate() {
        let at = Coord { x: corner.x + 9.5, y: corner.y + 5.4 + 3.1 * at as f64 };
        svg.words(at, Anchor::Start, 0.0, &line.within(room), false);
    }
}

/// Sets `notes` as one paragraph of `width` mm from `corner` down, in at most `lines` lines.
pub fn notes(svg: &mut Svg, corner: Coord<f64>, width: f64, notes: &str, lines: usize) {
    for (at, line) in wrapped(notes, SMALLEST_POINTS, width).into_iter().take(lines).enumerate() {
        let place = Coord { x: corner.x, y: corner.y + 2.4 + 2.9 * at as f64 };
        svg.words(place, Anchor::Start, 0.0, &line.colour(SOFT_INK), false);
    }
}

/// What a map is called in its upper left corner, where more than one stands on a sheet: the paper it takes, and its words.
#[must_use]
pub fn plaque(frame: Rect<f64>, words: &str) -> (Patch, Line) {
    let line = Line::new(words, 8.5).weight(Weight::SemiBold);
    let (width, height) = (line.width() + 3.0, line.height() + 1.4);
    let centre = Coord { x: frame.min().x + width / 2.0, y: frame.min().y + height / 2.0 };
    (Patch::new(centre, (width, height), 0.0), line)
}

/// Draws what [`plaque`] gives.
pub fn draw_plaque(svg: &mut Svg, frame: Rect<f64>, words: &str) {
    let (patch, line) = plaque(frame, words);
    svg.oblong(
        frame.min(),
        (patch.half.0 * 2.0, patch.half.1 * 2.0),
        "#ffffff",
        Some(&Stroke::solid(INK, 0.2)),
    );
    let drop = CAP_HEIGHT * line.points * POINT_MM / 2.0;
    svg.words(Coord { x: patch.centre.x, y: patch.centre.y + drop }, Anchor::Middle, 0.0, &line, false);
}

/// Hides everything outside `frame` from what is drawn between this and [`close_frame`].
pub fn open_frame(svg: &mut Svg, id: &str, frame: Rect<f64>) {
    let (x, y) = (mm(frame.min().x), mm(frame.min().y));
    let (w, h) = (mm(frame.width()), mm(frame.height()));
    svg.put(format_args!(
        r##"<defs><clipPath id="{id}"><rect x="{x}" y="{y}" width="{w}" height="{h}"/></clipPath></defs><g clip-path="url(#{id})">"##
    ));
}

/// Ends what [`open_frame`] began.
pub fn close_frame(svg: &mut Svg) {
    svg.put("</g>");
}
