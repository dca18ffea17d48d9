//! The small map of a report's first page: the areas on their ground, to be recognised and not to be measured on.

use geo::{Coord, Rect};

use crate::draw::{
    Drawing,
    map::{
        backdrop,
        contour::{CLOSEST_CONTOURS_MM, contours},
        furniture,
        inked::{Inked, Laid, ink, symbols},
        lettering::{letter, lettered},
        patch::Patch,
        scale::{Scale, distance_words},
        site::{core, grid_of},
        slope::outlined,
        window::{Drawn, Window, upright},
    },
    palette::{ACCENT, SOFT_INK},
    svg::{Anchor, Stroke, Svg, line_data, polygon_data},
    text::{Line, Weight},
};
use hillfolio_core::project::{FeatureKind, Project};

/// Its size on paper, mm: half the measure of a text page.
const SIZE: (f64, f64) = (82.0, 52.0);

/// Left free about the areas, mm.
const EDGE_MM: f64 = 4.0;

/// The longest scale bar, mm.
const LONGEST_BAR_MM: f64 = 22.0;

/// Water, what keeps stock out, and ways, in thin lines.
const WATER: Stroke = Stroke::solid("#2f6ea3", 0.5);
const FENCE: Stroke = Stroke::solid("#5b3a24", 0.3);
const WAY: Stroke = Stroke { colour: "#59625d", width: 0.35, dash: "1.2 0.8" };

/// The areas of `project` on shaded ground with contours, where it has a terrain model; `None` where nothing has a place.
#[must_use]
pub fn front(project: &Project) -> Option<Drawing> {
    let (plane, extent) = upright(&core(project), grid_of(project).as_ref())?;
    let frame = Rect::new(Coord::zero(), Coord { x: SIZE.0, y: SIZE.1 });
    let room = (SIZE.0 - 2.0 * EDGE_MM, SIZE.1 - 2.0 * EDGE_MM);
    let window = Window { plane, scale: Scale::fitting((extent.width(), extent.height()), room), frame };
    let areas: Vec<_> = project.areas.iter().map(|area| outlined(area, None)).collect();
    let laid: Vec<Laid<'_>> = areas.iter().map(Laid::new).collect();
    let inked: Vec<Inked<'_>> = laid.iter().filter_map(|one| ink(one, &window)).collect();
    let bar = window.scale.bar(LONGEST_BAR_MM);
    let length = window.scale.paper(bar);
    let foot = Coord { x: SIZE.0 - 2.5 - length, y: SIZE.1 - 2.2 };
    let mut taken: Vec<Patch> = inked.iter().flat_map(symbols).collect();
    taken.push(Patch::new(Coord { x: foot.x + length / 2.0, y: foot.y - 1.5 }, (length + 3.0, 6.0), 0.0));
    let lettering = lettered(&inked, &window, &taken, Vec::new());

    let mut svg = Svg::new(SIZE);
    svg.oblong(Coord::zero(), SIZE, "#ffffff", None);
    furniture::open_frame(&mut svg, "front", frame);
    if let Some(ground) = &project.ground {
        // Where the terrain model ends, the paper has the colour of level ground.
        svg.oblong(Coord::zero(), SIZE, backdrop::LEVEL_GROUND, None);
        backdrop::draw_shade(&mut svg, &ground.heights, &window);
        if let Some(lines) = contours(&ground.heights, &window, CLOSEST_CONTOURS_MM) {
            svg.put(r#"<g opacity="0.3">"#);
            lines.draw(&mut svg, &[]);
            svg.put("</g>");
        }
    }
    lines(&mut svg, project, &window);
    let accent = project.identity.accent.as_deref().unwrap_or(ACCENT);
    for polygon in project.areas.iter().flat_map(|area| window.polygons(&area.boundary)) {
        let data = polygon_data(&polygon);
        svg.put(format_args!(
            r#"<path d="{data}" fill="{accent}" fill-opacity="0.3" fill-rule="evenodd" stroke="{accent}" stroke-width="0.6"/>"#
        ));
    }
    lettering.names.iter().for_each(|label| letter(&mut svg, label, true));
    scale_bar(&mut svg, foot, length, &distance_words(bar, bar), bar >= 1000.0);
    furniture::close_frame(&mut svg);
    svg.oblong(Coord::zero(), SIZE, "none", Some(&Stroke::solid(SOFT_INK, 0.2)));
    let count = project.areas.len();
    let noun = if count == 1 { "area" } else { "areas" };
    Some(Drawing {
        name: "front".to_owned(),
        title: "The site".to_owned(),
        alt: format!("A small map of the site with its {count} planting {noun}, north at the top"),
        caption: String::new(),
        svg: svg.finish(),
        size_mm: SIZE,
        landscape: false,
    })
}

/// Water, fences and ways.
fn lines(svg: &mut Svg, project: &Project, window: &Window) {
    for feature in &project.features {
        let stroke = match feature.kind {
            FeatureKind::Watercourse | FeatureKind::Gully => WATER,
            FeatureKind::Fence => FENCE,
            FeatureKind::Track | FeatureKind::Road => WAY,
            _ => continue,
        };
        if let Some(Drawn::Lines(lines)) = window.drawn(&window.on_plane(&feature.shape)) {
            lines.iter().for_each(|line| svg.path(&line_data(line), "none", Some(&stroke)));
        }
    }
}

/// A plain bar with its length above it, its left end at `foot`.
fn scale_bar(svg: &mut Svg, foot: Coord<f64>, length: f64, words: &str, kilometres: bool) {
    svg.oblong(Coord { x: foot.x - 1.2, y: foot.y - 3.9 }, (length + 2.4, 5.1), "#ffffff", None);
    svg.oblong(Coord { x: foot.x, y: foot.y - 0.3 }, (length, 0.6), "#1f2623", None);
    let unit = if kilometres { "km" } else { "m" };
    let line = Line::new(format!("{words} {unit}"), 6.5).weight(Weight::SemiBold);
    svg.words(Coord { x: foot.x + length / 2.0, y: foot.y - 1.2 }, Anchor::Middle, 0.0, &line, false);
}
