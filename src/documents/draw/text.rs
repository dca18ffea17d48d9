//! How wide a text will be on paper, so that labels can be kept apart before anything is typeset.

use crate::draw::palette::INK;

/// Millimetres in a typographic point (1/72 inch).
pub const POINT_MM: f64 = 25.4 / 72.0;

/// The smallest type on a printed drawing, in points.
pub const SMALLEST_POINTS: f64 = 6.5;

/// Height of capitals and figures of Inter, as a part of the type size.
pub const CAP_HEIGHT: f64 = 0.727;

/// Advance widths of Inter Regular for the characters from space to `~`, in thousandths of the type size, taken from
/// `fonts/Inter-Regular.otf`; figures are tabular (`tnum`).
const ADVANCE: [u16; 95] = [
    281, 278, 403, 631, 638, 812, 639, 222, 362, 362, 500, 659, 280, 460, 276, 357, 648, 648, 648, 648, 648,
    648, 648, 648, 648, 648, 276, 280, 659, 659, 659, 507, 936, 676, 651, 727, 719, 598, 587, 743, 740, 264,
    543, 652, 562, 889, 753, 761, 635, 761, 639, 638, 642, 741, 676, 949, 642, 665, 625, 362, 357, 362, 469,
    452, 497, 564, 621, 558, 621, 582, 361, 609, 591, 237, 237, 544, 237, 869, 585, 597, 609, 609, 372, 523,
    364, 581, 557, 812, 540, 557, 541, 362, 327, 362, 659,
];

/// Weight of type.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// Text.
    Regular,
    /// Names and headings.
    SemiBold,
    /// What must be found first.
    Bold,
}

impl Weight {
    /// The weight as CSS numbers it.
    #[must_use]
    pub fn number(self) -> u16 {
        match self {
            Weight::Regular => 400,
            Weight::SemiBold => 600,
            Weight::Bold => 700,
        }
    }

    /// How much wider than the regular face it runs, at most over words of ordinary letters.
    fn widening(self) -> f64 {
        match self {
            Weight::Regular => 1.0,
            Weight::SemiBold => 1.05,
            Weight::Bold => 1.08,
        }
    }
}

/// One line of text with its look.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// The text.
    pub text: String,
    /// Type size in points.
    pub points: f64,
    /// Weight.
    pub weight: Weight,
    /// Set slanting.
    pub italic: bool,
    /// Colour.
    pub colour: &'static str,
}

impl Line {
    /// Regular ink.
    #[must_use]
    pub fn new(text: impl Into<String>, points: f64) -> Line {
        Line { text: text.into(), points, weight: Weight::Regular, italic: false, colour: INK }
    }

    /// The same in another weight.
    #[must_use]
    pub fn weight(mut self, weight: Weight) -> Line {
        self.weight = weight;
        self
    }

    /// The same in another colour.
    #[must_use]
    pub fn colour(mut self, colour: &'static str) -> Line {
        self.colour = colour;
        self
    }

    /// The same, slanting.
    #[must_use]
    pub fn italic(mut self) -> Line {
        self.italic = true;
        self
    }

    /// Its width on paper, mm.
    #[must_use]
    pub fn width(&self) -> f64 {
        let ems: f64 = self.text.chars().map(advance).sum();
        ems * self.weight.widening() * self.points * POINT_MM
    }

    /// Its height on paper from line to line, mm.
    #[must_use]
    pub fn height(&self) -> f64 {
        1.2 * self.points * POINT_MM
    }

    /// The same, cut with `…` so that it is no wider than `width` mm.
    #[must_use]
    pub fn within(mut self, width: f64) -> Line {
        if self.width() > width {
            let mut letters: Vec<char> = self.text.chars().collect();
            while self.width() > width && !letters.is_empty() {
                letters.pop();
                let kept: String = letters.iter().collect();
                self.text = format!("{}…", kept.trim_end());
            }
        }
        self
    }
}

/// `text`, cut with `…` to at most `letters` characters.
#[must_use]
pub fn shortened(text: &str, letters: usize) -> String {
    if text.chars().count() <= letters {
        return text.to_owned();
    }
    let kept: String = text.chars().take(letters.saturating_sub(1)).collect();
    format!("{}…", kept.trim_end())
}

/// `words` set in lines no wider than `width` mm.
#[must_use]
pub fn wrapped(words: &str, points: f64, width: f64) -> Vec<Line> {
    let mut lines: Vec<Line> = Vec::new();
    for word in words.split(' ') {
        match lines.last_mut() {
            Some(line) if Line::new(format!("{} {word}", line.text), points).width() <= width => {
                line.text = format!("{} {word}", line.text);
            }
            _ => lines.push(Line::new(word, points)),
        }
    }
    lines.into_iter().map(|line| line.within(width)).collect()
}

/// Advance width of a character as a part of the type size: never less than what the embedded fonts give.
fn advance(letter: char) -> f64 {
    match letter {
        ' '..='~' => f64::from(ADVANCE[letter as usize - 0x20]) / 1000.0,
        '\u{300}'..='\u{36f}' | '\u{200b}'..='\u{200f}' => 0.0,
        '\u{2009}' | '\u{202f}' | '′' => 0.25,
        '·' => 0.28,
        '°' | '″' => 0.46,
        '–' => 0.5,
        letter if letter.is_lowercase() => 0.65,
        letter if ('\u{590}'..'\u{700}').contains(&letter) => 0.7,
        letter if (letter as u32) < 0x2e80 => 0.8,
        _ => 1.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_names_are_cut_at_a_letter() {
        assert_eq!(shortened("Ōtāne ridge", 20), "Ōtāne ridge");
        assert_eq!(shortened("Ōtāne ridge", 7), "Ōtāne…");
        let line = Line::new("m".repeat(300), 8.0).within(30.0);
        assert!(line.width() <= 30.0 && line.text.ends_with('…'));
    }

    #[test]
    fn lines_wrap_within_their_width() {
        let lines =
            wrapped("a works drawing, not a survey; positions as they stand in the folder", 6.5, 30.0);
        assert!(lines.len() > 2 && lines.iter().all(|line| line.width() <= 30.0));
    }
}
