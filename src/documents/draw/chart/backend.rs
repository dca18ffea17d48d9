//! A drawing backend for plotters that writes to the SVG builder of the maps, in plotters' whole pixels.

use std::{convert::Infallible, fmt::Display, fmt::Write as _};

use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind, FontStyle,
    text_anchor::HPos,
};

use crate::draw::{
    svg::{Svg, escaped},
    text::Weight,
};

/// What every call answers: a string takes every write.
type Drawn = Result<(), DrawingErrorKind<Infallible>>;

/// An SVG under plotters' pen.
pub(super) struct SvgBackend<'a> {
    svg: &'a mut Svg,
    size: (u32, u32),
}

impl SvgBackend<'_> {
    /// A backend over `svg`, which is `size` pixels wide and high.
    pub(super) fn new(svg: &mut Svg, size: (u32, u32)) -> SvgBackend<'_> {
        SvgBackend { svg, size }
    }

    /// Adds markup; nothing where the ink is clear.
    fn put(&mut self, colour: BackendColor, markup: impl Display) -> Drawn {
        if colour.alpha > 0.0 {
            self.svg.put(markup);
        }
        Ok(())
    }
}

impl DrawingBackend for SvgBackend<'_> {
    type ErrorType = Infallible;

    fn get_size(&self) -> (u32, u32) {
        self.size
    }

    fn ensure_prepared(&mut self) -> Drawn {
        Ok(())
    }

    fn present(&mut self) -> Drawn {
        Ok(())
    }

    fn draw_pixel(&mut self, (x, y): BackendCoord, colour: BackendColor) -> Drawn {
        let fill = hex(colour);
        self.put(colour, format_args!(r#"<rect x="{x}" y="{y}" width="1" height="1" fill="{fill}"/>"#))
    }

    fn draw_line<S: BackendStyle>(&mut self, from: BackendCoord, to: BackendCoord, style: &S) -> Drawn {
        self.draw_path([from, to], style)
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        (x, y): BackendCoord,
        (right, bottom): BackendCoord,
        style: &S,
        fill: bool,
    ) -> Drawn {
        let (width, height, ink) = (right - x, bottom - y, ink(style, fill));
        self.put(
            style.color(),
            format_args!(r#"<rect x="{x}" y="{y}" width="{width}" height="{height}"{ink}/>"#),
        )
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        let (ink, points) = (ink(style, false), listed(path));
        self.put(style.color(), format_args!(r#"<polyline{ink} points="{points}"/>"#))
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        (x, y): BackendCoord,
        radius: u32,
        style: &S,
        fill: bool,
    ) -> Drawn {
        let ink = ink(style, fill);
        self.put(style.color(), format_args!(r#"<circle cx="{x}" cy="{y}" r="{radius}"{ink}/>"#))
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        let (ink, points) = (ink(style, true), listed(path));
        self.put(style.color(), format_args!(r#"<polygon{ink} points="{points}"/>"#))
    }

    /// The position is that of the baseline.
    fn draw_text<S: BackendTextStyle>(&mut self, text: &str, style: &S, (x, y): BackendCoord) -> Drawn {
        let anchor = match style.anchor().h_pos {
            HPos::Left => "start",
            HPos::Center => "middle",
            HPos::Right => "end",
        };
        let look = match style.style() {
            FontStyle::Normal => String::new(),
            FontStyle::Bold => format!(r#" font-weight="{}""#, Weight::SemiBold.number()),
            slanting => format!(r#" font-style="{}""#, slanting.as_str()),
        };
        let (size, fill, text) = (style.size(), hex(style.color()), escaped(text));
        self.put(
            style.color(),
            format_args!(
                r#"<text x="{x}" y="{y}" text-anchor="{anchor}" font-size="{size:.1}" fill="{fill}"{look}>{text}</text>"#
            ),
        )
    }
}

/// A colour as `#RRGGBB`; the charts use no half-clear ink.
fn hex(colour: BackendColor) -> String {
    let (red, green, blue) = colour.rgb;
    format!("#{red:02X}{green:02X}{blue:02X}")
}

/// The attributes of a filled or of an outlined shape.
fn ink<S: BackendStyle>(style: &S, fill: bool) -> String {
    let colour = hex(style.color());
    if fill {
        return format!(r#" fill="{colour}""#);
    }
    format!(r#" fill="none" stroke="{colour}" stroke-width="{}""#, style.stroke_width())
}

fn listed(points: impl IntoIterator<Item = BackendCoord>) -> String {
    let mut list = String::new();
    for (x, y) in points {
        let gap = if list.is_empty() { "" } else { " " };
        let written = write!(list, "{gap}{x},{y}");
        debug_assert!(written.is_ok(), "a string takes every write");
    }
    list
}
