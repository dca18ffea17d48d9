//! SVG text: one way to escape what people wrote, one way to print a coordinate. All lengths are millimetres on paper.

use std::{
    fmt::{Debug, Display, Formatter, Write as _},
    ops::Deref,
    sync::{Arc, LazyLock},
};

use geo::{Coord, LineString, Polygon};

use crate::draw::text::{Line, POINT_MM, Weight};

/// `text` for use between tags and inside attribute values. Characters that XML forbids are left out.
#[must_use]
pub fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\t' | '\n' | '\r' => safe.push(' '),
            '\u{fffe}' | '\u{ffff}' => {}
            letter if letter.is_control() => {}
            letter => safe.push(letter),
        }
    }
    safe
}

/// A coordinate or a length: two decimals, never `-0.00`.
#[must_use]
pub fn mm(value: f64) -> String {
    let text = format!("{value:.2}");
    if text == "-0.00" { "0.00".to_owned() } else { text }
}

/// Where a text is held by its position.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// At its left end.
    Start,
    /// At its middle.
    Middle,
    /// At its right end.
    End,
}

impl Anchor {
    fn word(self) -> &'static str {
        match self {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        }
    }
}

/// How a line or an outline is inked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// Colour.
    pub colour: &'static str,
    /// Width, mm.
    pub width: f64,
    /// Dashes and gaps, mm; empty for an unbroken line.
    pub dash: &'static str,
}

impl Stroke {
    /// An unbroken line.
    #[must_use]
    pub const fn solid(colour: &'static str, width: f64) -> Stroke {
        Stroke { colour, width, dash: "" }
    }

    fn attributes(&self) -> String {
        let dash = match self.dash {
            "" => String::new(),
            dash => format!(r#" stroke-dasharray="{dash}""#),
        };
        format!(r#" stroke="{}" stroke-width="{}"{dash}"#, self.colour, mm(self.width))
    }
}

/// Markup that is made when the drawing is first asked for.
type Later = Box<dyn FnOnce() -> String + Send>;

/// An SVG being written.
pub struct Svg {
    /// Finished markup, each piece with what comes after it.
    pieces: Vec<(String, Later)>,
    text: String,
}

impl Svg {
    /// A drawing of this width and height.
    #[must_use]
    pub fn new((width, height): (f64, f64)) -> Svg {
        let (w, h) = (mm(width), mm(height));
        let mut svg = Svg { pieces: Vec::new(), text: String::with_capacity(64 * 1024) };
        svg.put(format_args!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}" font-family="Inter" stroke-linejoin="round">"#
        ));
        svg
    }

    /// Adds markup that the program made itself; what people wrote goes through [`Svg::words`].
    pub fn put(&mut self, markup: impl Display) {
        let written = writeln!(self.text, "{markup}");
        debug_assert!(written.is_ok(), "a string takes every write");
    }

    /// Adds markup, made by the program itself, that takes long to make and that nothing else waits for: it is made when the
    /// finished drawing is first asked for.
    ///
    /// `markup` hands no work to the threads' pool. Others may wait for it in that pool; a thread that waited here for its helpers
    /// could be given one of those to do, and would wait for itself.
    pub(super) fn put_later(&mut self, markup: impl FnOnce() -> String + Send + 'static) {
        self.pieces.push((std::mem::take(&mut self.text), Box::new(markup)));
    }

    /// Adds a path.
    pub fn path(&mut self, data: &str, fill: &str, stroke: Option<&Stroke>) {
        self.text += &path_markup(data, fill, stroke);
    }

    /// Adds a circle.
    pub fn circle(&mut self, centre: Coord<f64>, radius: f64, fill: &str, stroke: Option<&Stroke>) {
        let ink = stroke.map_or_else(String::new, Stroke::attributes);
        let (x, y, r) = (mm(centre.x), mm(centre.y), mm(radius));
        self.put(format_args!(r#"<circle cx="{x}" cy="{y}" r="{r}" fill="{fill}"{ink}/>"#));
    }

    /// Adds a rectangle with its upper left corner at `corner`.
    pub fn oblong(&mut self, corner: Coord<f64>, size: (f64, f64), fill: &str, stroke: Option<&Stroke>) {
        let ink = stroke.map_or_else(String::new, Stroke::attributes);
        let (x, y, w, h) = (mm(corner.x), mm(corner.y), mm(size.0), mm(size.1));
        self.put(format_args!(r#"<rect x="{x}" y="{y}" width="{w}" height="{h}" fill="{fill}"{ink}/>"#));
    }

    /// Adds one line of text with its baseline at `at`, turned clockwise by `turn` degrees, in a white halo where asked.
    pub fn words(&mut self, at: Coord<f64>, anchor: Anchor, turn: f64, line: &Line, halo: bool) {
        let (x, y) = (mm(at.x), mm(at.y));
        let mut attributes =
            format!(r#" x="{x}" y="{y}" font-size="{}" fill="{}""#, mm(line.points * POINT_MM), line.colour);
        if anchor != Anchor::Start {
            attributes += &format!(r#" text-anchor="{}""#, anchor.word());
        }
        if line.weight != Weight::Regular {
            attributes += &format!(r#" font-weight="{}""#, line.weight.number());
        }
        if line.italic {
            attributes += r#" font-style="italic""#;
        }
        if line.text.bytes().any(|byte| byte.is_ascii_digit()) {
            attributes += r#" font-feature-settings="'tnum'""#;
        }
        if turn != 0.0 {
            attributes += &format!(r#" transform="rotate({} {x} {y})""#, mm(turn));
        }
        let words = escaped(&line.text);
        if halo {
            // By itself: letters that each bring their halo with them eat the ones before.
            let stroke = r##" stroke="#ffffff" stroke-width="0.85" stroke-linejoin="round""##;
            self.put(format_args!("<text{attributes}{stroke}>{words}</text>"));
        }
        self.put(format_args!("<text{attributes}>{words}</text>"));
    }

    /// The finished drawing.
    #[must_use]
    pub fn finish(mut self) -> Markup {
        self.put("</svg>");
        let Svg { pieces, text } = self;
        Markup(Arc::new(LazyLock::new(Box::new(move || {
            let begun = pieces.into_iter().map(|(before, later)| before + &later());
            begun.collect::<String>() + &text
        }))))
    }
}

/// The text of a finished drawing. What of it was left for later is made when it is first read, once, by whoever reads it first;
/// others wait for that.
#[derive(Clone)]
pub struct Markup(Arc<LazyLock<String, Box<dyn FnOnce() -> String + Send>>>);

impl From<String> for Markup {
    fn from(finished: String) -> Markup {
        Markup(Arc::new(LazyLock::new(Box::new(|| finished))))
    }
}

impl Deref for Markup {
    type Target = str;

    fn deref(&self) -> &str {
        &self.0
    }
}

impl PartialEq for Markup {
    fn eq(&self, other: &Markup) -> bool {
        **self == **other
    }
}

impl Debug for Markup {
    fn fmt(&self, f: &mut Formatter<'_>) -> std::fmt::Result {
        self.0.fmt(f)
    }
}

/// A path as markup; nothing where it has no data.
#[must_use]
pub fn path_markup(data: &str, fill: &str, stroke: Option<&Stroke>) -> String {
    if data.is_empty() {
        return String::new();
    }
    let ink = stroke.map_or_else(String::new, Stroke::attributes);
    format!("<path d=\"{data}\" fill=\"{fill}\" fill-rule=\"evenodd\"{ink}/>\n")
}

/// Path data of an open line.
#[must_use]
pub fn line_data(line: &LineString<f64>) -> String {
    let mut data = String::new();
    for (at, place) in line.coords().enumerate() {
        let letter = if at == 0 { 'M' } else { 'L' };
        let written = write!(data, "{letter}{} {}", mm(place.x), mm(place.y));
        debug_assert!(written.is_ok(), "a string takes every write");
    }
    data
}

/// Path data of a polygon with its holes, for filling by the even-odd rule.
#[must_use]
pub fn polygon_data(polygon: &Polygon<f64>) -> String {
    let mut data = String::new();
    for ring in std::iter::once(polygon.exterior()).chain(polygon.interiors()) {
        let open = ring.0.split_last().map_or(&[][..], |(_, rest)| rest);
        if open.len() > 2 {
            data += &line_data(&LineString(open.to_vec()));
            data.push('Z');
        }
    }
    data
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_people_wrote_stays_text() {
        assert_eq!(
            escaped("<b a=\"1\" c='2'>&\u{0}\u{b}\n"),
            "&lt;b a=&quot;1&quot; c=&#39;2&#39;&gt;&amp; "
        );
        assert_eq!(escaped("日本 العربية #panic()"), "日本 العربية #panic()");
    }

    #[test]
    fn nothing_has_no_sign() {
        assert_eq!(mm(-0.001), "0.00");
        assert_eq!(mm(-12.345_6), "-12.35");
    }
}
