//! How a map sheet is divided: the frame of the map, the panel with legend, scale and locator, the notes below.

use geo::{Coord, Rect};

use crate::draw::map::scale::Scale;

/// Ground on paper with a margin on each side, of its own extent.
const MARGIN: f64 = 1.05;

/// The widest and highest map upright on the page, mm.
const UPRIGHT: (f64, f64) = (172.0, 205.0);
/// The widest and highest map with the page turned, mm.
const TURNED: (f64, f64) = (245.0, 150.0);
/// The widest and highest map on an A3 page turned on its side, mm.
const LARGE: (f64, f64) = (386.0, 226.0);
/// Paper outside the frame for ticks and their labels, mm.
pub(super) const TICKS: f64 = 4.6;
/// Width of a panel beside the frame, mm.
const PANEL_WIDTH: f64 = 50.0;
/// Paper between frame and panel, mm.
const GUTTER: f64 = 3.0;
/// Height of the notes under a map, mm: two lines turned, three lines upright.
const NOTES: (f64, f64) = (6.4, 9.2);
/// Paper between the panel and the notes, mm.
const ABOVE_NOTES: f64 = 1.4;
/// Side of the locator, mm.
pub(super) const LOCATOR: f64 = 33.0;
/// Height of the scale and the north arrow in a panel beside the frame, mm.
const SCALE_AND_NORTH: f64 = 34.0;
/// Height of a row of the legend, mm.
pub(super) const LEGEND_ROW: f64 = 4.7;
/// So many rows of the legend under a map stand in one column beside the locator.
const ROWS_IN_ONE_COLUMN: usize = 6;
/// Height of the legend's heading, mm.
pub(super) const LEGEND_HEADING: f64 = 5.0;

/// Rows of the legend that there is room for beside a map on A3.
const MOST_LARGE_ROWS: usize = 28;

/// Paper within the frame beyond the ground that a map has to show, mm above and below together: for names, and so that nothing touches it.
const ROUND_THE_GROUND: f64 = 20.0;

/// The lowest frame, mm.
const LOWEST: f64 = 60.0;

/// So many times as large a map has to be for a page to be turned.
const WORTH_TURNING: f64 = 1.3;

/// Paper between two maps on one sheet: the ticks of both.
const BETWEEN: f64 = 2.0 * TICKS;

/// What paper a map is made for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// The page of a document, upright or turned, upright where both show as much.
    #[default]
    Page,
    /// The same, turned where both show as much: a sheet to be laid out on a knee or a bonnet.
    Field,
    /// An A3 page, turned.
    Large,
}

/// Where the panel is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Panel {
    /// To the right of the frame.
    Beside,
    /// Under the frame.
    Below,
}

/// The frames of a sheet's maps, all of one size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Frames {
    /// One map.
    One(Rect<f64>),
    /// Two maps, to be held against each other.
    Two(Rect<f64>, Rect<f64>),
}

impl Frames {
    /// The frame of the first map.
    pub(super) fn first(self) -> Rect<f64> {
        match self {
            Frames::One(first) | Frames::Two(first, _) => first,
        }
    }

    /// Every frame.
    pub(super) fn all(self) -> impl Iterator<Item = Rect<f64>> {
        match self {
            Frames::One(first) => [Some(first), None],
            Frames::Two(first, second) => [Some(first), Some(second)],
        }
        .into_iter()
        .flatten()
    }

    /// `room` for one map, or parted in two side by side and one above the other.
    fn within(room: Rect<f64>, maps: usize) -> Vec<Frames> {
        let Coord { x: left, y: top } = room.min();
        let Coord { x: right, y: bottom } = room.max();
        if maps < 2 {
            return vec![Frames::One(room)];
        }
        let (width, height) = ((right - left - BETWEEN) / 2.0, (bottom - top - BETWEEN) / 2.0);
        vec![
            Frames::Two(oblong(left, top, left + width, bottom), oblong(right - width, top, right, bottom)),
            Frames::Two(oblong(left, top, right, top + height), oblong(left, bottom - height, right, bottom)),
        ]
    }
}

/// A division of a sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Layout {
    /// Width and height of the whole, mm.
    pub size: (f64, f64),
    /// Whether the page is turned.
    pub landscape: bool,
    /// The frame of each map on the sheet.
    pub frames: Frames,
    /// Where the panel is.
    pub panel: Panel,
    /// The panel.
    pub panel_box: Rect<f64>,
    /// Columns of the legend.
    pub legend_columns: usize,
    /// The upper left corner of the notes.
    pub notes: Coord<f64>,
}

impl Layout {
    /// The same with a frame no higher than ground of `height` mm on paper needs, where the panel stands under it: what is left of the
    /// page belongs to the text.
    pub(super) fn cut_to(self, height: f64) -> Layout {
        let (Frames::One(frame), Panel::Below) = (self.frames, self.panel) else { return self };
        let wanted = (height * MARGIN + ROUND_THE_GROUND).max(LOWEST);
        let cut = (frame.height() - wanted).max(0.0);
        let up = Coord { x: 0.0, y: cut };
        Layout {
            size: (self.size.0, self.size.1 - cut),
            frames: Frames::One(Rect::new(frame.min(), frame.max() - up)),
            panel_box: Rect::new(self.panel_box.min() - up, self.panel_box.max() - up),
            notes: self.notes - up,
            ..self
        }
    }
}

/// Every division of `paper` in which a legend of `rows` and so many maps find room.
#[must_use]
pub(super) fn layouts(paper: Paper, rows: usize, maps: usize) -> Vec<Layout> {
    let upright = std::iter::once(below(rows)).chain(beside(UPRIGHT, false, NOTES.1, rows));
    let turned = beside(TURNED, true, NOTES.0, rows);
    let layouts: Vec<Layout> = match paper {
        Paper::Page => upright.chain(turned).collect(),
        Paper::Field => turned.into_iter().chain(upright).collect(),
        // However long the legend, it has to end somewhere.
        Paper::Large => beside(LARGE, true, NOTES.0, rows.min(MOST_LARGE_ROWS)).into_iter().collect(),
    };
    let parted = |layout: Layout| {
        Frames::within(layout.frames.first(), maps).into_iter().map(move |frames| Layout { frames, ..layout })
    };
    layouts.into_iter().flat_map(parted).collect()
}

/// The division that shows `ground` metres (width, height) largest on each of so many maps, with its scale; of equals the first.
#[must_use]
pub(super) fn largest(paper: Paper, rows: usize, maps: usize, ground: (f64, f64)) -> (Layout, Scale) {
    let scaled = layouts(paper, rows, maps).into_iter().map(|layout| (layout, scale_in(&layout, ground)));
    // A reader turns the page only for what is then much larger.
    let judged = |layout: &Layout, scale: &Scale| {
        let turned = if paper == Paper::Page && layout.landscape { WORTH_TURNING } else { 1.0 };
        f64::from(scale.denominator()) * turned
    };
    let best = scaled
        .min_by(|(one, of_one), (other, of_other)| judged(one, of_one).total_cmp(&judged(other, of_other)));
    best.unwrap_or_else(|| {
        let layout = below(rows);
        (layout, scale_in(&layout, ground))
    })
}

/// The scale of `ground` in the frame, with a margin of 5 % and of 4 mm on each side for names.
fn scale_in(layout: &Layout, ground: (f64, f64)) -> Scale {
    let frame = layout.frames.first();
    let paper = (frame.width() - 8.0, frame.height() - 8.0);
    Scale::fitting((ground.0 * MARGIN, ground.1 * MARGIN), paper)
}

fn below(rows: usize) -> Layout {
    let (width, height) = UPRIGHT;
    let columns = if rows <= ROWS_IN_ONE_COLUMN { 1 } else { 2 };
    let legend = LEGEND_HEADING + LEGEND_ROW * rows.div_ceil(columns) as f64;
    // However long the legend, a strip of map stays.
    let panel = legend.clamp(LOCATOR, 130.0);
    let bottom = height - NOTES.1 - ABOVE_NOTES - panel - GUTTER - TICKS;
    Layout {
        size: UPRIGHT,
        landscape: false,
        frames: Frames::One(oblong(TICKS, TICKS, width - TICKS, bottom)),
        panel: Panel::Below,
        panel_box: oblong(TICKS, bottom + TICKS + GUTTER, width - TICKS, bottom + TICKS + GUTTER + panel),
        legend_columns: columns,
        notes: Coord { x: TICKS, y: height - NOTES.1 },
    }
}

fn beside((width, height): (f64, f64), landscape: bool, notes: f64, rows: usize) -> Option<Layout> {
    let bottom = height - notes - TICKS - 0.6;
    let right = width - PANEL_WIDTH - GUTTER - TICKS;
    let legend = LEGEND_HEADING + LEGEND_ROW * rows as f64;
    let layout = Layout {
        size: (width, height),
        landscape,
        frames: Frames::One(oblong(TICKS, TICKS, right, bottom)),
        panel: Panel::Beside,
        panel_box: oblong(right + TICKS + GUTTER, TICKS, width, bottom),
        legend_columns: 1,
        notes: Coord { x: TICKS, y: height - notes },
    };
    (legend + SCALE_AND_NORTH + LOCATOR + 6.0 <= layout.panel_box.height()).then_some(layout)
}

fn oblong(left: f64, top: f64, right: f64, bottom: f64) -> Rect<f64> {
    Rect::new(Coord { x: left, y: top }, Coord { x: right, y: bottom })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_page_turns_for_a_wide_site_only() {
        let (wide, wide_scale) = largest(Paper::Page, 6, 1, (2_300.0, 600.0));
        let (tall, tall_scale) = largest(Paper::Page, 6, 1, (300.0, 1_500.0));
        assert!(wide.landscape && !tall.landscape);
        assert_eq!(tall.panel, Panel::Beside);
        assert_eq!((wide_scale.denominator(), tall_scale.denominator()), (15_000, 10_000));
        assert!(!largest(Paper::Page, 6, 1, (10.0, 10.0)).0.landscape);
        assert!(largest(Paper::Field, 6, 1, (10.0, 10.0)).0.landscape);
        assert!(!largest(Paper::Field, 6, 1, (300.0, 1_500.0)).0.landscape);
        let (large, scale) = largest(Paper::Large, 40, 1, (2_300.0, 600.0));
        assert!(large.landscape && scale < wide_scale);
    }

    #[test]
    fn a_frame_is_no_higher_than_its_ground_needs() {
        let ground = (700.0, 400.0);
        let (layout, scale) = largest(Paper::Page, 9, 1, ground);
        let cut = layout.cut_to(scale.paper(ground.1));
        let (before, after) = (layout.frames.first(), cut.frames.first());
        assert!((after.height() - (scale.paper(400.0) * MARGIN + ROUND_THE_GROUND)).abs() < 1e-9);
        assert!((layout.size.1 - cut.size.1 - (before.height() - after.height())).abs() < 1e-9);
        assert!(
            (cut.panel_box.min().y - after.max().y - (layout.panel_box.min().y - before.max().y)).abs()
                < 1e-9
        );
        assert_eq!(layout.cut_to(10_000.0), layout);
    }

    #[test]
    fn everything_lies_on_the_sheet_however_long_the_legend() {
        for rows in 0..120 {
            let papers = [Paper::Page, Paper::Field, Paper::Large];
            let every = papers
                .into_iter()
                .flat_map(|paper| [1, 2].into_iter().flat_map(move |maps| layouts(paper, rows, maps)));
            for layout in every {
                for part in layout.frames.all().chain([layout.panel_box]) {
                    assert!(part.min().x >= 0.0 && part.max().x <= layout.size.0, "{rows}");
                    assert!(part.min().y >= 0.0 && part.max().y <= layout.notes.y, "{rows}");
                }
                assert!(layout.frames.first().height() > 15.0);
            }
        }
    }
}
