//! A series of figures as marks with whiskers, joined by a line, and what a target asks at its day.

use crate::draw::{
    chart::{
        canvas::{At, Canvas},
        clear::Clear,
    },
    palette::{ACCENT, SERIES},
};
use hillfolio_core::ledger::Figure;

/// Half the width of the cap of a whisker, mm.
const CAP: f64 = 0.6;

/// Half the width of a target's mark, mm.
const HALF_MARK: f64 = 2.2;

/// The shape of a series' marks: series differ in shape and lightness, so that they hold without colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Shape {
    /// A disc.
    Disc,
    /// A triangle.
    Triangle,
    /// An open disc: what nobody has seen yet. Its interval is a ground beneath, not a whisker.
    Ring,
}

/// How the marks of a series are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Join {
    /// By a line from one to the next.
    Line,
    /// By steps down from the whole at the start of the axis: each value holds until the next.
    Steps,
    /// By dashes.
    Dashes,
}

impl Shape {
    fn colour(self) -> &'static str {
        match self {
            Shape::Disc | Shape::Ring => SERIES[0],
            Shape::Triangle => SERIES[2],
        }
    }

    fn draw(self, canvas: &Canvas<'_>, (x, y): At) {
        match self {
            Shape::Disc => canvas.disc((x, y), 0.9, self.colour()),
            Shape::Triangle => {
                canvas.patch(&[(x - 1.1, y + 0.8), (x + 1.1, y + 0.8), (x, y - 1.1)], self.colour());
            }
            Shape::Ring => canvas.ring((x, y), 0.9, self.colour(), 0.35),
        }
    }
}

/// A series: where each figure stands on the axis, and the figure.
#[derive(Debug, Clone)]
pub(super) struct Curve<'a> {
    /// What stands at its end before the last number; empty where the panel says it.
    pub(super) name: &'static str,
    pub(super) shape: Shape,
    pub(super) join: Join,
    pub(super) points: Vec<(f64, &'a Figure)>,
}

/// What a target asks, at its day.
#[derive(Debug, Clone)]
pub(super) struct Aim<'a> {
    /// The day, on the axis.
    pub(super) at: f64,
    /// What is asked.
    pub(super) asked: f64,
    /// The same in words, such as `at least 70 %`.
    pub(super) words: String,
    /// Whether more is better.
    pub(super) upward: bool,
    /// What is to be expected on that day.
    pub(super) expected: Option<&'a Figure>,
}

impl Curve<'_> {
    /// The colour of its marks and words.
    pub(super) fn colour(&self) -> &'static str {
        self.shape.colour()
    }

    /// The greatest value that must find room.
    pub(super) fn highest(&self) -> f64 {
        self.points.iter().map(|(_, figure)| top(figure)).fold(0.0, f64::max)
    }

    /// The marks with their whiskers and the line that joins them; `place` puts a value on paper.
    pub(super) fn draw(&self, canvas: &Canvas<'_>, clear: &mut Clear, place: &dyn Fn(f64, f64) -> At) {
        let places: Vec<At> = self.points.iter().map(|(at, figure)| place(*at, figure.value)).collect();
        let colour = self.colour();
        let way = if self.join == Join::Steps { steps(place(0.0, 1.0), &places) } else { places.clone() };
        if self.join == Join::Dashes {
            way.windows(2).for_each(|pair| canvas.dashed(pair[0], pair[1], colour, 0.3));
        } else {
            canvas.line(&way, colour, 0.4);
        }
        clear.line(&way);
        for ((at, figure), centre) in self.points.iter().zip(&places) {
            if self.shape != Shape::Ring {
                whisker(canvas, clear, figure, *at, place, colour);
            }
            self.shape.draw(canvas, *centre);
        }
    }
}

/// The corners of steps from `start` through `places`.
fn steps(start: At, places: &[At]) -> Vec<At> {
    let mut corners = vec![start];
    let mut height = start.1;
    for &(x, y) in places {
        corners.extend([(x, height), (x, y)]);
        height = y;
    }
    corners
}

impl Aim<'_> {
    /// The greatest value that must find room.
    pub(super) fn highest(&self) -> f64 {
        self.expected.map_or(self.asked, |figure| top(figure).max(self.asked))
    }

    /// A bar at the day and height of what is asked, with a point on the side that is right; the expected value as an open mark,
    /// joined by dashes to `from`, the last that was found.
    pub(super) fn draw(
        &self,
        canvas: &Canvas<'_>,
        clear: &mut Clear,
        place: &dyn Fn(f64, f64) -> At,
        from: Option<At>,
    ) {
        let (x, y) = place(self.at, self.asked);
        canvas.bar((x - HALF_MARK, y - 0.3), (x + HALF_MARK, y + 0.3), ACCENT);
        let tip = if self.upward { y - 1.7 } else { y + 1.7 };
        canvas.patch(&[(x - 0.9, y), (x + 0.9, y), (x, tip)], ACCENT);
        clear.oblong((x - HALF_MARK, y.min(tip)), (x + HALF_MARK, y.max(tip)));
        let Some(figure) = self.expected else { return };
        let centre = place(self.at, figure.value);
        if let Some(from) = from {
            canvas.dashed(from, centre, SERIES[0], 0.25);
        }
        whisker(canvas, clear, figure, self.at, place, SERIES[0]);
        canvas.ring(centre, 0.9, SERIES[0], 0.35);
    }
}

fn top(figure: &Figure) -> f64 {
    figure.interval.map_or(figure.value, |ends| ends.high.max(figure.value))
}

fn whisker(
    canvas: &Canvas<'_>,
    clear: &mut Clear,
    figure: &Figure,
    at: f64,
    place: &dyn Fn(f64, f64) -> At,
    colour: &str,
) {
    let Some(ends) = figure.interval else {
        let (x, y) = place(at, figure.value);
        clear.oblong((x - CAP, y - CAP), (x + CAP, y + CAP));
        return;
    };
    let (low, high) = (place(at, ends.low), place(at, ends.high));
    canvas.line(&[low, high], colour, 0.3);
    for (x, y) in [low, high] {
        canvas.line(&[(x - CAP, y), (x + CAP, y)], colour, 0.3);
    }
    clear.oblong((low.0 - CAP, high.1), (low.0 + CAP, low.1));
}
