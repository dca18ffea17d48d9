//! Two bars in one row: a wide light one for the whole, a thin dark one on it for a part, or a budget and what was
//! spent of it. The two differ in width and lightness, so that they hold without colour.

use crate::draw::{
    chart::{canvas::Canvas, scale::Scale},
    palette::{INK, SERIES},
};

/// Colour of the wide bar.
pub(super) const WIDE: &str = SERIES[4];

/// Colour of the thin bar.
pub(super) const THIN: &str = SERIES[0];

/// Colour of the part of a thin bar that reaches past the wide one.
pub(super) const BEYOND: &str = SERIES[1];

/// Part of the distance between rows that the wide bar takes.
const WIDE_PART: f64 = 0.62;

/// Part of it that the thin bar takes.
const THIN_PART: f64 = 0.26;

/// The bars of one row.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Bars {
    /// Length of the wide bar.
    pub(super) wide: Option<f64>,
    /// Length of the thin bar.
    pub(super) thin: Option<f64>,
}

impl Bars {
    /// The values drawn.
    pub(super) fn values(self) -> impl Iterator<Item = f64> {
        self.wide.into_iter().chain(self.thin)
    }

    /// Whether the thin bar reaches past the wide one.
    pub(super) fn is_beyond(self) -> bool {
        matches!((self.wide, self.thin), (Some(wide), Some(thin)) if thin > wide)
    }

    /// Draws the bars about `middle` in rows `pitch` mm apart.
    pub(super) fn draw(self, canvas: &Canvas<'_>, scale: &Scale, middle: f64, pitch: f64) {
        let bar = |from: f64, to: f64, part: f64, fill: &str| {
            let half = pitch * part / 2.0;
            if scale.at(from) != scale.at(to) {
                canvas.bar((scale.at(from), middle - half), (scale.at(to), middle + half), fill);
            }
        };
        if let Some(wide) = self.wide {
            bar(0.0, wide, WIDE_PART, WIDE);
        }
        let Some(thin) = self.thin else { return };
        match self.wide {
            Some(wide) if thin > wide => {
                bar(0.0, wide, THIN_PART, THIN);
                bar(wide, thin, THIN_PART, BEYOND);
                let (x, half) = (scale.at(wide), pitch * WIDE_PART / 2.0);
                canvas.line(&[(x, middle - half), (x, middle + half)], INK, 0.3);
            }
            _ => bar(0.0, thin, THIN_PART, THIN),
        }
    }
}
