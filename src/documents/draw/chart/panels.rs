//! Small panels in strips: the panels of a strip share their scale, and all share the axis from left to right.

use crate::draw::{
    chart::{
        across::Across,
        canvas::{At, Canvas, Hold, drop_to_baseline},
        clear::{Clear, Near},
        curve::{Aim, Curve},
        frame::WIDTH,
        scale::Scale,
        words::value,
    },
    palette::{ACCENT, RULE, SERIES, SOFT_INK},
    text::{Line, Weight},
};
use hillfolio_core::units::{number, percent, whole};

/// Most panels beside each other.
pub(super) const ABREAST: usize = 4;

/// Room for the numbers of the scale, mm.
const NUMBERS: f64 = 11.0;
/// Between two panels, mm.
const GUTTER: f64 = 4.0;
/// The title of a strip with the paper about it, mm.
const TITLE: f64 = 6.0;
/// The heading of a panel, mm.
const HEADING: f64 = 4.5;
/// The plot of a panel, mm.
const PLOT: f64 = 34.0;
/// The axis below a strip, mm.
const FOOT: f64 = 7.0;
/// More of it where the axis has a title, mm.
const AXIS_TITLE: f64 = 4.0;

/// A row of counts below that, mm.
const COUNTS: f64 = 4.0;

/// One panel.
#[derive(Debug, Clone, Default)]
pub(super) struct Panel<'a> {
    pub(super) heading: String,
    pub(super) curves: Vec<Curve<'a>>,
    pub(super) aims: Vec<Aim<'a>>,
    /// Grounds beneath the curves, each an outline of places on the axis and values.
    pub(super) bands: Vec<Vec<(f64, f64)>>,
    /// A height that curves may be held against, and its words.
    pub(super) level: Option<(f64, String)>,
    /// Counts below the axis, each at its place, such as how many a curve rests on.
    pub(super) counts: Vec<(f64, u64)>,
}

/// Panels beside each other.
#[derive(Debug, Clone)]
pub(super) struct Strip<'a> {
    /// What they show, with the unit.
    pub(super) title: String,
    /// Whether the scale is that of a share.
    pub(super) shares: bool,
    /// The greatest value that the scale must hold, that of other strips included.
    pub(super) highest: f64,
    pub(super) panels: Vec<Panel<'a>>,
}

/// A drawing of strips.
#[derive(Debug, Clone)]
pub(super) struct Panels<'a> {
    pub(super) strips: Vec<Strip<'a>>,
    pub(super) across: Across,
    /// What the counts below the axis are; empty where there are none.
    pub(super) counted: &'static str,
}

impl Panel<'_> {
    /// The greatest value that must find room.
    pub(super) fn highest(&self) -> f64 {
        let curves = self.curves.iter().map(Curve::highest);
        let bands = self.bands.iter().flatten().map(|(_, value)| *value);
        let level = self.level.iter().map(|(value, _)| *value);
        curves.chain(self.aims.iter().map(Aim::highest)).chain(bands).chain(level).fold(0.0, f64::max)
    }
}

impl Panels<'_> {
    /// Width and height, mm.
    pub(super) fn size(&self) -> (f64, f64) {
        (WIDTH, self.strip_height() * self.strips.len() as f64)
    }

    fn strip_height(&self) -> f64 {
        let title = if self.across.title.is_empty() { 0.0 } else { AXIS_TITLE };
        let counts = if self.counted.is_empty() { 0.0 } else { COUNTS };
        TITLE + HEADING + PLOT + FOOT + title + counts
    }

    /// Draws every strip.
    pub(super) fn draw(&self, canvas: &Canvas<'_>) {
        let abreast = self.strips.iter().map(|strip| strip.panels.len()).max().unwrap_or(1).clamp(1, ABREAST);
        let wide = (WIDTH - NUMBERS - GUTTER * (abreast - 1) as f64 - 1.0) / abreast as f64;
        for (at, strip) in self.strips.iter().enumerate() {
            let above = self.strip_height() * at as f64;
            let title = Line::new(strip.title.clone(), 8.0).weight(Weight::SemiBold);
            canvas.words((0.0, above + 3.2), Hold::Left, &title);
            let top = above + TITLE + HEADING;
            let scale = strip.scale((top + PLOT, top));
            for (at, panel) in strip.panels.iter().enumerate() {
                let left = NUMBERS + (wide + GUTTER) * at as f64;
                let ground =
                    PanelArea { strip, across: &self.across, scale: &scale, room: (left, left + wide), top };
                ground.draw(canvas, panel, at == 0);
                let title = if self.across.title.is_empty() { 0.0 } else { AXIS_TITLE };
                self.write_counts(canvas, &ground, panel, (top + PLOT + FOOT + title + 0.8, at == 0));
            }
        }
    }
}

impl Panels<'_> {
    /// The counts of a panel on the line at `y`, their name before the first.
    fn write_counts(
        &self,
        canvas: &Canvas<'_>,
        ground: &PanelArea<'_>,
        panel: &Panel<'_>,
        (y, first): (f64, bool),
    ) {
        if first && !self.counted.is_empty() {
            let line = Line::new(self.counted, 7.0).colour(SOFT_INK);
            canvas.words((ground.room.0 - 1.5, y), Hold::Right, &line);
        }
        let mut free = f64::NEG_INFINITY;
        for (at, count) in &panel.counts {
            let line = Line::new(whole(*count), 7.0);
            let half = line.width() / 2.0;
            let x = ground.across.at(*at, ground.room).max(ground.room.0 + half).min(ground.room.1 - half);
            // Where surveys stand too close, the later keeps silent; the table has it.
            if x - half > free {
                canvas.words((x, y), Hold::Middle, &line);
                free = x + half + 0.8;
            }
        }
    }
}

impl Strip<'_> {
    fn scale(&self, room: (f64, f64)) -> Scale {
        if self.shares {
            Scale::of_shares(room)
        } else {
            Scale::over(std::iter::once(self.highest), room, 4.0, 1.0)
        }
    }
}

/// Where a panel stands on paper.
struct PanelArea<'a> {
    strip: &'a Strip<'a>,
    across: &'a Across,
    scale: &'a Scale,
    room: (f64, f64),
    top: f64,
}

impl PanelArea<'_> {
    fn bottom(&self) -> f64 {
        self.top + PLOT
    }

    fn place(&self, at: f64, value: f64) -> At {
        (self.across.at(at, self.room), self.scale.at(value))
    }

    fn draw(&self, canvas: &Canvas<'_>, panel: &Panel<'_>, first: bool) {
        let mut clear = Clear::default();
        let place = |at: f64, value: f64| self.place(at, value);
        for band in &panel.bands {
            let outline: Vec<At> = band.iter().map(|(at, value)| self.place(*at, *value)).collect();
            canvas.patch(&outline, SERIES[5]);
        }
        self.axes(canvas, first);
        let heading = Line::new(panel.heading.clone(), 7.5).within(self.room.1 - self.room.0);
        canvas.words((self.room.0, self.top - 1.6), Hold::Left, &heading);
        if let Some((value, words)) = &panel.level {
            let y = self.scale.at(*value);
            canvas.dashed((self.room.0, y), (self.room.1, y), ACCENT, 0.3);
            clear.line(&[(self.room.0, y), (self.room.1, y)]);
            // At the left, since curves end at the right.
            let line = self.line(words, ACCENT);
            let rights = vec![self.room.0 + line.width() + 1.0];
            self.write(canvas, &mut clear, &line, Near { rights, y, rather_below: false, on_paper: true });
        }
        let last = panel.curves.first().and_then(|curve| curve.points.last());
        let last = last.map(|(at, figure)| self.place(*at, figure.value));
        for aim in &panel.aims {
            aim.draw(canvas, &mut clear, &place, last);
        }
        for curve in &panel.curves {
            curve.draw(canvas, &mut clear, &place);
        }
        // Words last: each finds its place among all that is drawn.
        let on_paper = panel.bands.is_empty();
        for aim in &panel.aims {
            let line = self.line(&aim.words, ACCENT);
            let (x, y) = self.place(aim.at, aim.asked);
            let rights = vec![x + 2.2, x + line.width() / 2.0, x + line.width() - 2.2];
            self.write(canvas, &mut clear, &line, Near { rights, y, rather_below: aim.upward, on_paper });
        }
        for curve in &panel.curves {
            let Some((at, figure)) = curve.points.last() else { continue };
            let line = self.line(format!("{} {}", curve.name, value(figure)).trim(), curve.colour());
            let (x, y) = self.place(*at, figure.value);
            let rights = vec![x + 1.5, x + line.width() / 2.0];
            self.write(canvas, &mut clear, &line, Near { rights, y, rather_below: false, on_paper });
        }
    }

    fn line(&self, words: &str, colour: &'static str) -> Line {
        let line = Line::new(words, 7.0).weight(Weight::SemiBold).colour(colour);
        line.within(self.room.1 - self.room.0)
    }

    fn write(&self, canvas: &Canvas<'_>, clear: &mut Clear, line: &Line, mut near: Near) {
        for right in &mut near.rights {
            *right = right.max(self.room.0 + line.width() + 0.5).min(self.room.1);
        }
        clear.write(canvas, line, &near, (self.top + 0.3, self.bottom() - 0.4));
    }

    /// Rules across with their numbers, ticks below with their words.
    fn axes(&self, canvas: &Canvas<'_>, first: bool) {
        for tick in self.scale.ticks() {
            let y = self.scale.at(tick);
            let colour = if tick.abs() < 1e-9 { SOFT_INK } else { RULE };
            canvas.line(&[(self.room.0, y), (self.room.1, y)], colour, 0.2);
            if first {
                let decimals = self.scale.decimals(tick);
                let words = if self.strip.shares { percent(tick, 0) } else { number(tick, decimals) };
                let line = Line::new(words, 7.0).colour(SOFT_INK);
                canvas.words((self.room.0 - 1.5, y + drop_to_baseline(7.0)), Hold::Right, &line);
            }
        }
        let bottom = self.bottom();
        for (x, words) in self.across.ticks(self.room, 7.0) {
            canvas.line(&[(x, bottom), (x, bottom + 1.0)], SOFT_INK, 0.2);
            let Some(line) = words else { continue };
            let half = line.width() / 2.0;
            canvas.words((x.max(half).min(WIDTH - half), bottom + 4.0), Hold::Middle, &line.colour(SOFT_INK));
        }
        if first && !self.across.title.is_empty() {
            let line = Line::new(self.across.title, 7.0).colour(SOFT_INK);
            canvas.words((self.room.0, bottom + 7.8), Hold::Left, &line);
        }
    }
}
