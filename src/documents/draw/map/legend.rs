//! The legend: every sign that is on the map, drawn by the code that drew it there, and nothing else.

use geo::{Coord, LineString, MultiPolygon, Polygon, Rect};

use crate::draw::{
    map::{
        layout::{LEGEND_HEADING, LEGEND_ROW},
        paint,
        sign::{Extent, Sign},
        window::Drawn,
    },
    palette::SOFT_INK,
    svg::{Anchor, Svg},
    text::{Line, SMALLEST_POINTS, Weight},
};
use hillfolio_core::units::Degrees;

/// Width of the sample of a sign, mm.
const SAMPLE: f64 = 9.0;

/// Draws the legend in `columns` columns from the upper left corner of `place` down.
pub(super) fn draw(svg: &mut Svg, place: Rect<f64>, columns: usize, entries: &[(Sign, String)]) {
    let corner = place.min();
    let heading = Line::new("Shown on this map", 7.0).weight(Weight::SemiBold).colour(SOFT_INK);
    svg.words(Coord { x: corner.x, y: corner.y + 2.6 }, Anchor::Start, 0.0, &heading, false);
    let width = place.width() / columns as f64;
    let rows = entries.len().div_ceil(columns).max(1);
    // An endless legend is set closer rather than run off the sheet.
    let row = LEGEND_ROW.min((place.height() - LEGEND_HEADING) / rows as f64);
    for (at, (sign, words)) in entries.iter().enumerate() {
        let left = corner.x + width * (at / rows) as f64;
        let middle = corner.y + LEGEND_HEADING + row * ((at % rows) as f64 + 0.5);
        sample(svg, *sign, Coord { x: left, y: middle });
        let room = width - SAMPLE - 3.0;
        let mut text = Line::new(words.clone(), 7.0);
        if text.width() > room {
            text.points = SMALLEST_POINTS;
        }
        let text = text.within(room);
        svg.words(Coord { x: left + SAMPLE + 2.0, y: middle + 0.9 }, Anchor::Start, 0.0, &text, false);
    }
}

/// Draws a sample of `sign`, its left end at `left`.
fn sample(svg: &mut Svg, sign: Sign, left: Coord<f64>) {
    let place = |x: f64, y: f64| Coord { x: left.x + x * SAMPLE, y: left.y + y };
    let drawn = match sign {
        Sign::Feature(_, _, _, Extent::Line) | Sign::Contour(_) | Sign::Row(_) => {
            Drawn::Lines(vec![LineString(vec![place(0.0, 0.7), place(0.45, -0.5), place(1.0, 0.3)])])
        }
        Sign::Ring
        | Sign::Plot
        | Sign::PhotoPoint
        | Sign::Sighting(_)
        | Sign::RowStart
        | Sign::Site(_)
        | Sign::Feature(_, _, _, Extent::Point) => {
            Drawn::Points(vec![place(if sign == Sign::PhotoPoint { 0.2 } else { 0.5 }, 0.0)])
        }
        _ => {
            let ring = vec![
                place(0.02, -1.6),
                place(0.98, -1.6),
                place(0.98, 1.6),
                place(0.02, 1.6),
                place(0.02, -1.6),
            ];
            Drawn::Polygons(MultiPolygon(vec![Polygon::new(LineString(ring), Vec::new())]))
        }
    };
    let looks = matches!(sign, Sign::PhotoPoint | Sign::RowStart);
    paint::sign(svg, sign, &drawn, looks.then_some(Degrees(90.0)));
}
