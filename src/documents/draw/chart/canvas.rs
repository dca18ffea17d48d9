//! A sheet to draw charts on, in millimetres: plotters draws through [`SvgBackend`], this file gives it paper units.
//!
//! Plotters counts in whole pixels and guesses text widths from bytes. So a chart is drawn on pixels of 0.02 mm, and every
//! text is placed by its baseline with widths from [`crate::draw::text`].

use plotters::{
    coord::Shift,
    element::{Drawable, PointCollection},
    prelude::{
        Circle, DrawingArea, IntoDrawingArea, IntoFont, PathElement, Polygon, RGBColor, Rectangle, Text,
    },
    style::{
        Color, FontStyle, ShapeStyle, TextStyle,
        text_anchor::{HPos, Pos, VPos},
    },
};

use crate::draw::{
    chart::backend::SvgBackend,
    palette::rgb,
    svg::{Markup, Svg},
    text::{Line, POINT_MM, Weight},
};

/// Plotters pixels in a millimetre.
const PIXELS: f64 = 50.0;

/// A point on paper, mm from the left and from the top.
pub(super) type At = (f64, f64);

/// Where a text is held by its position.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Hold {
    /// At its left end.
    Left,
    /// At its middle.
    Middle,
    /// At its right end.
    Right,
}

/// A sheet of paper under plotters' pen.
pub(super) struct Canvas<'a> {
    area: DrawingArea<SvgBackend<'a>, Shift>,
}

/// The SVG that `paint` draws on a sheet of `size` mm.
pub(super) fn drawn(size: (f64, f64), paint: impl FnOnce(&Canvas<'_>)) -> Markup {
    let mut svg = Svg::new(size);
    svg.put(format_args!(r#"<g transform="scale({})" stroke-linejoin="miter">"#, 1.0 / PIXELS));
    let (width, height) = pixel(size);
    let backend = SvgBackend::new(&mut svg, (width.unsigned_abs(), height.unsigned_abs()));
    paint(&Canvas { area: backend.into_drawing_area() });
    svg.put("</g>");
    svg.finish()
}

impl Canvas<'_> {
    /// A filled rectangle between two corners.
    pub(super) fn bar(&self, from: At, to: At, fill: &str) {
        let (x0, y0) = (from.0.min(to.0), from.1.min(to.1));
        let (x1, y1) = (from.0.max(to.0), from.1.max(to.1));
        self.put(&Rectangle::new([pixel((x0, y0)), pixel((x1, y1))], ink(fill).filled()));
    }

    /// A line of `width` mm through `points`.
    pub(super) fn line(&self, points: &[At], stroke: &str, width: f64) {
        let points: Vec<(i32, i32)> = points.iter().map(|&at| pixel(at)).collect();
        self.put(&PathElement::new(points, stroked(stroke, width)));
    }

    /// A filled outline through `points`.
    pub(super) fn patch(&self, points: &[At], fill: &str) {
        let points: Vec<(i32, i32)> = points.iter().map(|&at| pixel(at)).collect();
        self.put(&Polygon::new(points, ink(fill).filled()));
    }

    /// A dashed vertical line from `top` to `bottom`.
    pub(super) fn dashes(&self, x: f64, (top, bottom): (f64, f64), stroke: &str, width: f64) {
        self.dashed((x, top), (x, bottom), stroke, width);
    }

    /// A dashed line between two points: plotters can't dash a single line.
    pub(super) fn dashed(&self, from: At, to: At, stroke: &str, width: f64) {
        const DASH: f64 = 1.2;
        const GAP: f64 = 0.8;
        let length = libm::hypot(to.0 - from.0, to.1 - from.1);
        let at = |way: f64| {
            let part = way.min(length) / length;
            (from.0 + part * (to.0 - from.0), from.1 + part * (to.1 - from.1))
        };
        let mut way = 0.0;
        while way < length {
            self.line(&[at(way), at(way + DASH)], stroke, width);
            way += DASH + GAP;
        }
    }

    /// A filled circle.
    pub(super) fn disc(&self, centre: At, radius: f64, fill: &str) {
        self.put(&Circle::new(pixel(centre), length(radius), ink(fill).filled()));
    }

    /// An open circle.
    pub(super) fn ring(&self, centre: At, radius: f64, stroke: &str, width: f64) {
        self.disc(centre, radius, "#ffffff");
        self.put(&Circle::new(pixel(centre), length(radius), stroked(stroke, width)));
    }

    /// One line of text with its baseline at `at`.
    pub(super) fn words(&self, at: At, hold: Hold, line: &Line) {
        let look = match (line.italic, line.weight) {
            (true, _) => FontStyle::Italic,
            (false, Weight::Regular) => FontStyle::Normal,
            (false, _) => FontStyle::Bold,
        };
        let size = line.points * POINT_MM * PIXELS;
        let hold = match hold {
            Hold::Left => HPos::Left,
            Hold::Middle => HPos::Center,
            Hold::Right => HPos::Right,
        };
        let colour = ink(line.colour);
        let style = TextStyle::from(("Inter", size).into_font().style(look))
            .color(&colour)
            .pos(Pos::new(hold, VPos::Bottom));
        self.put(&Text::new(line.text.as_str(), pixel(at), style));
    }

    fn put<'e, E>(&self, element: &'e E)
    where
        &'e E: PointCollection<'e, (i32, i32)>,
        E: for<'b> Drawable<SvgBackend<'b>>,
    {
        let drawn = self.area.draw(element);
        debug_assert!(drawn.is_ok(), "a string takes every write");
    }
}

/// The distance from the middle of a line of text down to its baseline, mm.
pub(super) fn drop_to_baseline(points: f64) -> f64 {
    use crate::draw::text::CAP_HEIGHT;
    CAP_HEIGHT * points * POINT_MM / 2.0
}

#[allow(clippy::cast_possible_truncation, reason = "a cast from f64 stops at the ends of i32")]
fn pixel((x, y): At) -> (i32, i32) {
    ((x * PIXELS).round() as i32, (y * PIXELS).round() as i32)
}

fn length(mm: f64) -> u32 {
    pixel((mm, 0.0)).0.unsigned_abs()
}

fn stroked(colour: &str, width: f64) -> ShapeStyle {
    ink(colour).stroke_width(length(width))
}

fn ink(hex: &str) -> RGBColor {
    let [red, green, blue] = rgb(hex);
    RGBColor(red, green, blue)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sheet_is_measured_in_millimetres() {
        let svg = drawn((170.0, 42.5), |canvas| {
            canvas.bar((10.0, 5.0), (30.0, 9.0), "#22384f");
            canvas.words((10.0, 20.0), Hold::Right, &Line::new("a<b> \"c\"\u{0}\nd & 'e'", 8.0).italic());
        });
        assert_eq!(
            &*svg,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"170.00mm\" height=\"42.50mm\" \
             viewBox=\"0 0 170.00 42.50\" font-family=\"Inter\" stroke-linejoin=\"round\">\n\
             <g transform=\"scale(0.02)\" stroke-linejoin=\"miter\">\n\
             <rect x=\"500\" y=\"250\" width=\"1000\" height=\"200\" fill=\"#22384F\"/>\n\
             <text x=\"500\" y=\"1000\" text-anchor=\"end\" font-size=\"141.1\" \
             fill=\"#1F2623\" font-style=\"italic\">a&lt;b&gt; &quot;c&quot; d &amp; &#39;e&#39;</text>\n\
             </g>\n</svg>\n"
        );
    }
}
