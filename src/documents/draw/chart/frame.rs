//! What every chart shares: named rows with rules between them, an axis below, columns of numbers on the right.
//!
//! The numbers stand beside their marks, so that nothing has to be read off the axis and no legend is needed: a small
//! sign before a column's heading says which mark it belongs to.

use crate::draw::{
    chart::{
        canvas::{Canvas, Hold, drop_to_baseline},
        scale::Scale,
    },
    palette::{RULE, SOFT_INK},
    text::{Line, Weight},
};
use hillfolio_core::units;

/// Width of every chart: that of a text page.
pub(super) const WIDTH: f64 = 170.0;

/// No name is wider than this, mm.
const WIDEST_NAME: f64 = 54.0;

/// Space between a name and the plot, and between columns.
const GUTTER: f64 = 3.0;

/// Height of the headings.
const HEAD: f64 = 7.0;

/// Height of the axis with its numbers and title.
const FOOT: f64 = 9.5;

/// Extra space above a row that begins a group.
const GROUP_GAP: f64 = 3.5;

/// Side of the sign before a heading.
const SIGN: f64 = 2.2;

/// One row of a chart.
#[derive(Debug, Clone)]
pub(super) struct Row {
    /// Its name.
    pub(super) name: Line,
    /// What stands in the columns.
    pub(super) cells: Vec<String>,
    /// Whether a rule and some space set it off from the row above.
    pub(super) begins_group: bool,
}

impl Row {
    /// A row with an upright name.
    pub(super) fn new(name: &str, cells: Vec<String>) -> Row {
        Row { name: Line::new(name, 8.0), cells, begins_group: false }
    }

    /// A row named by a species.
    pub(super) fn species(name: &str, cells: Vec<String>) -> Row {
        let row = Row::new(name, cells);
        Row { name: row.name.italic(), ..row }
    }

    /// The same, set off from the row above.
    pub(super) fn begins_group(self) -> Row {
        Row { begins_group: true, ..self }
    }

    /// The same in a heavier type: a total.
    pub(super) fn strong(self) -> Row {
        Row { name: Line { italic: false, ..self.name.weight(Weight::SemiBold) }, ..self }
    }

    fn is_strong(&self) -> bool {
        self.name.weight != Weight::Regular
    }
}

/// The mark that a column's numbers belong to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Sign {
    /// None.
    None,
    /// A bar as wide as its row.
    Bar(&'static str),
    /// A thin bar.
    ThinBar(&'static str),
}

/// A column of numbers.
#[derive(Debug, Clone)]
pub(super) struct Column {
    /// Its heading.
    pub(super) heading: String,
    /// The mark that the numbers belong to.
    pub(super) sign: Sign,
}

impl Column {
    /// A column without a sign.
    pub(super) fn new(heading: impl Into<String>) -> Column {
        Column { heading: heading.into(), sign: Sign::None }
    }

    /// A column whose numbers are drawn by `sign`.
    pub(super) fn signed(heading: impl Into<String>, sign: Sign) -> Column {
        Column { heading: heading.into(), sign }
    }

    fn heading_width(&self) -> f64 {
        let sign = if self.sign == Sign::None { 0.0 } else { SIGN + 1.0 };
        self.heading_line().width() + sign
    }

    fn heading_line(&self) -> Line {
        Line::new(self.heading.clone(), 7.0).colour(SOFT_INK)
    }
}

/// A chart's rows and columns, and where they stand on paper.
#[derive(Debug, Clone)]
pub(super) struct Frame {
    rows: Vec<Row>,
    columns: Vec<Column>,
    widths: Vec<f64>,
    pitch: f64,
    points: f64,
    names: f64,
    above: f64,
}

impl Frame {
    /// Lays out `rows` under `columns`, with `above` mm kept free between the headings and the first row.
    pub(super) fn new(mut rows: Vec<Row>, columns: Vec<Column>, above: f64) -> Frame {
        let (pitch, points) = match rows.len() {
            0..=14 => (6.0, 8.0),
            15..=26 => (5.2, 8.0),
            27..=40 => (4.5, 7.5),
            _ => (3.7, 7.0),
        };
        for row in &mut rows {
            row.name.points = points;
            row.name = row.name.clone().within(WIDEST_NAME);
        }
        let names = rows.iter().map(|row| row.name.width()).fold(0.0, f64::max);
        let widths = columns
            .iter()
            .enumerate()
            .map(|(at, column)| {
                let cells = rows.iter().filter_map(|row| Some(cell(row, at)?.width()));
                cells.fold(column.heading_width(), f64::max)
            })
            .collect();
        Frame { rows, columns, widths, pitch, points, names, above }
    }

    /// Width and height of the chart, mm.
    pub(super) fn size(&self) -> (f64, f64) {
        (WIDTH, self.bottom() + FOOT)
    }

    /// Left and right end of the plot, mm.
    pub(super) fn plot(&self) -> (f64, f64) {
        let columns: f64 = self.widths.iter().map(|width| width + GUTTER).sum();
        (self.names + GUTTER, WIDTH - columns - GUTTER)
    }

    /// Upper and lower end of the plot, mm.
    pub(super) fn span(&self) -> (f64, f64) {
        (HEAD + self.above, self.bottom())
    }

    /// Distance between two rows, mm.
    pub(super) fn pitch(&self) -> f64 {
        self.pitch
    }

    /// The middle of each row, mm from the top.
    pub(super) fn middles(&self) -> Vec<f64> {
        let mut y = HEAD + self.above;
        self.rows
            .iter()
            .map(|row| {
                y += if row.begins_group { GROUP_GAP } else { 0.0 };
                let middle = y + self.pitch / 2.0;
                y += self.pitch;
                middle
            })
            .collect()
    }

    fn bottom(&self) -> f64 {
        let groups = self.rows.iter().filter(|row| row.begins_group).map(|_| GROUP_GAP).sum::<f64>();
        let mut height = groups;
        for _ in &self.rows {
            height += self.pitch;
        }
        HEAD + self.above + height
    }

    /// Draws what lies under the marks: rules, axis, names, headings and numbers.
    pub(super) fn draw(&self, canvas: &Canvas<'_>, scale: &Scale, axis: &Axis) {
        self.draw_axis(canvas, scale, axis);
        let drop = drop_to_baseline(self.points);
        for (row, middle) in self.rows.iter().zip(self.middles()) {
            if row.begins_group {
                let y = middle - (self.pitch + GROUP_GAP) / 2.0;
                canvas.line(&[(0.0, y), (WIDTH, y)], RULE, 0.2);
            }
            canvas.words((self.names, middle + drop), Hold::Right, &row.name);
            for (at, right) in self.column_ends() {
                if let Some(cell) = cell(row, at) {
                    canvas.words((right, middle + drop), Hold::Right, &cell);
                }
            }
        }
        self.draw_headings(canvas);
    }

    fn draw_axis(&self, canvas: &Canvas<'_>, scale: &Scale, axis: &Axis) {
        let (top, bottom) = self.span();
        for tick in scale.ticks() {
            let x = scale.at(tick);
            let is_zero = tick.abs() < 1e-9;
            canvas.line(&[(x, top), (x, bottom)], if is_zero { SOFT_INK } else { RULE }, 0.2);
            let number = (axis.print)(tick, scale.decimals(tick));
            canvas.words((x, bottom + 3.4), Hold::Middle, &Line::new(number, 7.0).colour(SOFT_INK));
        }
        let (left, right) = self.plot();
        let title = Line::new(axis.title.clone(), 7.0).colour(SOFT_INK).within(WIDTH - left);
        let middle = f64::midpoint(left, right).max(title.width() / 2.0).min(WIDTH - title.width() / 2.0);
        canvas.words((middle, bottom + 7.6), Hold::Middle, &title);
    }

    fn draw_headings(&self, canvas: &Canvas<'_>) {
        let baseline = HEAD - 3.0;
        for (at, right) in self.column_ends() {
            let column = &self.columns[at];
            let line = column.heading_line();
            canvas.words((right, baseline), Hold::Right, &line);
            let x = right - line.width() - SIGN - 1.0;
            let middle = baseline - drop_to_baseline(line.points);
            let (half, colour) = match column.sign {
                Sign::None => continue,
                Sign::Bar(colour) => (SIGN / 2.0, colour),
                Sign::ThinBar(colour) => (SIGN / 5.0, colour),
            };
            canvas.bar((x, middle - half), (x + SIGN, middle + half), colour);
        }
        let right = WIDTH;
        canvas.line(&[(0.0, HEAD - 1.2), (right, HEAD - 1.2)], RULE, 0.2);
    }

    /// The right end of each column, mm, from left to right: the order in which a screen reader says them.
    fn column_ends(&self) -> Vec<(usize, f64)> {
        let mut right = WIDTH;
        let mut ends = Vec::new();
        for (at, width) in self.widths.iter().enumerate().rev() {
            ends.push((at, right));
            right -= width + GUTTER;
        }
        ends.reverse();
        ends
    }
}

/// What an axis says.
pub(super) struct Axis {
    /// Its title, with the unit.
    pub(super) title: String,
    /// How its numbers are printed, given the decimals that its steps need.
    pub(super) print: fn(f64, usize) -> String,
}

impl Axis {
    /// An axis of plain numbers.
    pub(super) fn new(title: impl Into<String>) -> Axis {
        Axis { title: title.into(), print: units::number }
    }

    /// An axis of shares, printed as per cent.
    pub(super) fn of_shares(title: impl Into<String>) -> Axis {
        Axis { title: title.into(), print: |share, _| units::percent(share, 0) }
    }
}

fn cell(row: &Row, at: usize) -> Option<Line> {
    let weight = if row.is_strong() { Weight::SemiBold } else { Weight::Regular };
    let text = row.cells.get(at)?;
    Some(Line::new(text.clone(), row.name.points.min(7.5)).weight(weight))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::text::POINT_MM;

    #[test]
    fn rows_keep_their_distance_and_fit_a_page() {
        for count in [1, 14, 15, 40, 41, 62] {
            let rows = (0..count).map(|n| Row::new(&format!("row {n}"), vec![n.to_string()])).collect();
            let frame = Frame::new(rows, vec![Column::new("stems")], 0.0);
            assert!(frame.pitch() >= 1.4 * frame.points * POINT_MM, "{count}");
            assert!(frame.points >= 7.0);
            assert!(frame.size().1 <= 247.0, "{count} rows are {} mm high", frame.size().1);
        }
    }

    #[test]
    fn a_long_name_and_wide_columns_leave_room_for_the_plot() {
        let row = Row::new(&"W".repeat(300), vec!["1,234,567.89".to_owned(); 3]);
        let frame = Frame::new(vec![row], vec![Column::new("budget"); 3], 0.0);
        let (left, right) = frame.plot();
        assert!(right - left > 45.0, "{left} to {right}");
    }
}
