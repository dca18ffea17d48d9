//! The order of roles and species along a row, in the letters of the table of rows.

use geo::{Coord, LineString};

use crate::draw::{
    Drawing,
    palette::{INK, SOFT_INK},
    set_out::{
        WIDTH,
        order::{Example, Place, by_role, example},
    },
    svg::{Anchor, Stroke, Svg, line_data},
    text::{CAP_HEIGHT, Line, POINT_MM, Weight, wrapped},
};
use hillfolio_core::plan::Plan;

/// Stems drawn at most.
const MOST: usize = 20;

/// So many stand together, as in the table of rows.
const TOGETHER: usize = 5;

/// Between two stems, and between two groups, mm.
const APART: (f64, f64) = (7.7, 2.2);

/// Radius of a stem, mm.
const RADIUS: f64 = 3.2;

/// Left end of the row, and its height on the drawing, mm.
const START: Coord<f64> = Coord { x: 9.0, y: 12.0 };

/// Type, points.
const POINTS: f64 = 8.5;

/// From line to line, mm.
const LINE: f64 = 4.4;

/// Left end of the names of species, mm.
const NAMES: f64 = 40.0;

/// How the stems of a role are drawn: fill, colour of the letter, whether a second ring stands inside.
const LOOKS: [(&str, &str, bool); 5] = [
    ("#ffffff", INK, false),
    (INK, "#ffffff", false),
    ("#d5dad6", INK, false),
    ("#ffffff", INK, true),
    ("#7c8580", "#ffffff", true),
];

/// The strip of an example row, with what its letters stand for.
#[must_use]
pub(super) fn pattern(plan: &Plan) -> Option<Drawing> {
    let example = example(plan, MOST)?;
    let roles = by_role(plan);
    let named: Vec<(usize, &str, Vec<Line>)> = roles
        .iter()
        .enumerate()
        .map(|(style, (word, species))| {
            let names: Vec<String> =
                species.iter().map(|(letter, id)| format!("{letter}\u{a0}{}", unbroken(&id.0))).collect();
            let words = if names.is_empty() { "no species dealt".to_owned() } else { names.join(", ") };
            (style, word.as_str(), wrapped(&words, POINTS, WIDTH - NAMES))
        })
        .collect();
    let below = START.y + RADIUS + 20.5;
    let rows = named.iter().map(|(_, _, lines)| LINE * lines.len().max(1) as f64 + 2.6).sum::<f64>();
    let size = (WIDTH, below + rows);

    let mut svg = Svg::new(size);
    svg.oblong(Coord::zero(), size, "#ffffff", None);
    strip(&mut svg, plan, &example);
    let mut y = below;
    for (style, word, lines) in &named {
        stem(&mut svg, Coord { x: START.x, y: y + 1.0 }, *style, None);
        let word = Line::new(*word, POINTS).weight(Weight::SemiBold).within(NAMES - START.x - 8.0);
        svg.words(Coord { x: START.x + 5.5, y: y + 2.1 }, Anchor::Start, 0.0, &word, false);
        for (at, line) in lines.iter().enumerate() {
            let place = Coord { x: NAMES, y: y + 2.1 + LINE * at as f64 };
            svg.words(place, Anchor::Start, 0.0, line, false);
        }
        y += LINE * lines.len().max(1) as f64 + 2.6;
    }

    let (area, number) = &example.row;
    let spelt: Vec<String> =
        roles.iter().map(|(word, species)| format!("{word}, {} species", species.len())).collect();
    Some(Drawing {
        name: "pattern".to_owned(),
        title: "Which plant stands where along a row".to_owned(),
        alt: format!(
            "The first {} stems of row {number} of {area} as circles with the letters of their species: {}. Roles: {}.",
            example.places.len(),
            written(&example.places),
            spelt.join("; ")
        ),
        caption: format!(
            "Row {number} of {area} as an example, read from its start. A circle is a stem, its look the role, its letter the \
             species; the table of rows writes the letters alone, in groups of five. The pattern of roles goes on from the end \
             of a row to the start of the next."
        ),
        svg: svg.finish(),
        size_mm: size,
        landscape: false,
    })
}

/// Spaces within a name don't end a line.
fn unbroken(name: &str) -> String {
    name.replace(' ', "\u{a0}")
}

/// Letters as the table of rows writes them.
fn written(places: &[Place]) -> String {
    let groups = places.chunks(TOGETHER);
    let group = |places: &[Place]| places.iter().map(|place| place.letter.unwrap_or('·')).collect::<String>();
    groups.map(group).collect::<Vec<String>>().join(" ")
}

fn at(stem: usize) -> Coord<f64> {
    let groups = (stem / TOGETHER) as f64;
    Coord { x: START.x + APART.0 * stem as f64 + APART.1 * groups, y: START.y }
}

fn strip(svg: &mut Svg, plan: &Plan, example: &Example) {
    let count = example.places.len();
    let (area, number) = &example.row;
    let heading =
        Line::new(format!("Row {number} of {area}, from its start"), POINTS).weight(Weight::SemiBold);
    svg.words(Coord { x: START.x - RADIUS, y: 4.0 }, Anchor::Start, 0.0, &heading.within(110.0), false);
    let end = at(count.saturating_sub(1));
    let ground = vec![Coord { x: START.x - 5.5, ..START }, Coord { x: (end.x + 5.5).min(WIDTH), ..end }];
    svg.path(&line_data(&LineString(ground)), "none", Some(&Stroke::solid(INK, 0.5)));
    let tip = START.x - 5.5;
    let head = [(0.0, -1.4), (2.0, 0.0), (0.0, 1.4)].map(|(x, y)| Coord { x: tip - 1.6 + x, y: START.y + y });
    svg.path(&(line_data(&LineString(head.to_vec())) + "Z"), INK, None);
    for (n, place) in example.places.iter().enumerate() {
        stem(svg, at(n), place.style, place.letter);
    }
    bracket(svg, plan, &example.places);
    let lines = format!("in the table of rows:  {}", written(&example.places));
    let line = Line::new(lines, POINTS).within(WIDTH - START.x);
    svg.words(Coord { x: START.x - RADIUS, y: START.y + RADIUS + 14.0 }, Anchor::Start, 0.0, &line, false);
}

/// Draws a bracket under the stems of one whole pattern.
fn bracket(svg: &mut Svg, plan: &Plan, places: &[Place]) {
    let length = plan.design.pattern.len();
    let Some(first) = places.iter().position(|place| place.role == Some(0)) else { return };
    if length == 0 || first + length > places.len() {
        return;
    }
    let (from, to) = (at(first), at(first + length - 1));
    let (top, bottom) = (START.y + RADIUS + 1.2, START.y + RADIUS + 2.8);
    let corner = |x: f64, y: f64| Coord { x, y };
    let (left, right) = (from.x - 2.4, to.x + 2.4);
    let line = vec![corner(left, top), corner(left, bottom), corner(right, bottom), corner(right, top)];
    svg.path(&line_data(&LineString(line)), "none", Some(&Stroke::solid(SOFT_INK, 0.35)));
    let words = format!("the pattern, again and again: {}", plan.design.pattern.join(", "));
    let words = Line::new(words, POINTS);
    let room = WIDTH - left;
    svg.words(corner(left, bottom + 4.2), Anchor::Start, 0.0, &words.within(room), false);
}

fn stem(svg: &mut Svg, place: Coord<f64>, style: usize, letter: Option<char>) {
    let (fill, ink, ringed) = LOOKS[style % LOOKS.len()];
    svg.circle(place, RADIUS, fill, Some(&Stroke::solid(INK, 0.4)));
    if ringed {
        svg.circle(place, RADIUS - 0.7, "none", Some(&Stroke::solid(ink, 0.25)));
    }
    if let Some(letter) = letter {
        let line = Line::new(letter.to_string(), 10.0).weight(Weight::Bold).colour(ink);
        let drop = CAP_HEIGHT * line.points * POINT_MM / 2.0;
        svg.words(Coord { x: place.x, y: place.y + drop }, Anchor::Middle, 0.0, &line, false);
    }
}
