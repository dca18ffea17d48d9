//! A value as a dot with its interval as a whisker, and the dashed line of a target.

use crate::draw::{
    chart::{
        canvas::{At, Canvas, Hold},
        scale::Scale,
    },
    palette::{ACCENT, INK, SERIES},
    text::{Line, Weight},
};
use hillfolio_core::ledger::Figure;

/// Colour of dots and whiskers.
const DOT: &str = SERIES[0];

/// Radius of a dot, mm.
const RADIUS: f64 = 1.0;

/// Height of a line of words above the plot, mm.
pub(super) const WORDS_HEIGHT: f64 = 3.6;

/// Draws `figure` at `y`: a filled dot with a whisker, or an open dot where there is no interval.
pub(super) fn dot(canvas: &Canvas<'_>, scale: &Scale, y: f64, figure: &Figure) {
    dot_in(canvas, scale, y, figure, DOT);
}

/// The same in another colour.
pub(super) fn dot_in(canvas: &Canvas<'_>, scale: &Scale, y: f64, figure: &Figure, colour: &str) {
    let centre: At = (scale.at(figure.value), y);
    match &figure.interval {
        Some(interval) if interval.low.is_finite() && interval.high.is_finite() => {
            let (low, high) = (scale.at(interval.low), scale.at(interval.high));
            canvas.line(&[(low, y), (high, y)], colour, 0.4);
            for end in [low, high] {
                canvas.line(&[(end, y - 0.8), (end, y + 0.8)], colour, 0.4);
            }
            canvas.disc(centre, RADIUS, colour);
        }
        _ => canvas.ring(centre, RADIUS, colour, 0.4),
    }
}

/// The interval of `figure` alone, for the end of a bar.
pub(super) fn whisker(canvas: &Canvas<'_>, scale: &Scale, y: f64, figure: &Figure) {
    let Some(interval) = figure.interval else { return };
    let (low, high) = (scale.at(interval.low), scale.at(interval.high));
    canvas.line(&[(low, y), (high, y)], INK, 0.4);
    for end in [low, high] {
        canvas.line(&[(end, y - 0.8), (end, y + 0.8)], INK, 0.4);
    }
}

/// A line that values are held against.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Mark {
    /// Where it stands on the scale.
    pub(super) value: f64,
    /// What it is called, such as `grant: at least 80 %`.
    pub(super) name: String,
}

/// Draws each of `marks`, which rise in value, as a dashed line down the plot with its name above.
///
/// One name stands over the middle of its line. Of several, each stands left of its own line and a step higher than
/// the one before, so that no line crosses a name.
pub(super) fn marks(
    canvas: &Canvas<'_>,
    scale: &Scale,
    (top, bottom): (f64, f64),
    width: f64,
    marks: &[Mark],
) {
    let mut baseline = top - 1.0;
    for mark in marks {
        let x = scale.at(mark.value);
        let name =
            Line::new(mark.name.clone(), 7.0).weight(Weight::SemiBold).colour(ACCENT).within(width * 0.6);
        if marks.len() == 1 {
            let half = name.width() / 2.0;
            canvas.dashes(x, (baseline + 0.5, bottom), ACCENT, 0.35);
            canvas.words((x.max(half).min(width - half), baseline), Hold::Middle, &name);
        } else {
            canvas.dashes(x, (baseline - WORDS_HEIGHT / 2.0, bottom), ACCENT, 0.35);
            canvas.words(((x - 0.8).max(name.width()), baseline), Hold::Right, &name);
        }
        baseline -= WORDS_HEIGHT;
    }
}

/// Draws a target of one row only: a short line across it.
pub(super) fn row_mark(canvas: &Canvas<'_>, scale: &Scale, y: f64, pitch: f64, value: f64) {
    let x = scale.at(value);
    canvas.line(&[(x, y - pitch * 0.42), (x, y + pitch * 0.42)], ACCENT, 0.6);
}
