//! Rain since the first day of the period, in the band of other years.

use crate::draw::{
    chart::{
        canvas::{At, Canvas, Hold, drop_to_baseline},
        rain::{PLOT, Record, SPAN, Totals},
        scale::Scale,
    },
    palette::{INK, SERIES, SOFT_INK},
    text::{Line, Weight},
};
use hillfolio_core::ledger::CumulativeRain;

/// The band of other years.
const BAND: &str = "#cddbe4";

/// Between the baselines of two sums at the end of their lines, mm.
const LEAD: f64 = 3.4;

/// Between a line and the sum at its end, mm.
const BESIDE: f64 = 1.2;

/// Draws the band, the median and the period's own line, each sum of `totals` at the end of its line.
pub(super) fn draw(canvas: &Canvas<'_>, record: &Record, sums: &CumulativeRain, totals: &Totals<'_>) {
    let highest = sums.others.iter().map(|band| band[2]).chain(sums.these.iter().copied());
    let scale = Scale::over(highest, (SPAN.1, SPAN.0), 7.0, 1.0);
    let start = (PLOT.0, scale.at(0.0));
    let line = |of: &dyn Fn(&[f64; 3]) -> f64| -> Vec<At> {
        let each = sums.others.iter().enumerate();
        let ends = each.map(|(place, band)| (record.end_of(place), scale.at(of(band))));
        std::iter::once(start).chain(ends).collect()
    };
    let mut band = line(&|band| band[2]);
    band.extend(line(&|band| band[0]).into_iter().rev());
    canvas.patch(&band, BAND);
    record.draw_axes(canvas, &scale, "mm");
    let median = line(&|band| band[1]);
    for step in dashes(&median) {
        canvas.line(step, INK, 0.3);
    }
    let these = sums.these.iter().enumerate();
    let these = these.map(|(place, sum)| (record.end_of(place), scale.at(*sum)));
    let these: Vec<At> = std::iter::once(start).chain(these).collect();
    canvas.line(&these, SERIES[0], 0.55);
    draw_sums(canvas, [these.last(), median.last()].map(|end| end.map_or(SPAN.1, |at| at.1)), totals);
}

/// Every second stretch of a line of many points.
fn dashes(line: &[At]) -> impl Iterator<Item = &[At]> {
    const DAYS: usize = 5;
    line.chunks(DAYS).step_by(2).filter(|dash| dash.len() > 1)
}

/// The sums at the right, each at the height of the end of its line and clear of the other.
fn draw_sums(canvas: &Canvas<'_>, ends: [f64; 2], totals: &Totals<'_>) {
    let clear = match ends[0] <= ends[1] {
        true => [ends[0], ends[1].max(ends[0] + LEAD)],
        false => [ends[0].max(ends[1] + LEAD), ends[1]],
    };
    for (at, ((_, figure), y)) in totals.iter().zip(clear).enumerate() {
        let words = Line::new(figure.text(), 7.0);
        let words = if at == 0 { words.weight(Weight::SemiBold).colour(INK) } else { words.colour(SOFT_INK) };
        canvas.words((PLOT.1 + BESIDE, y + drop_to_baseline(7.0)), Hold::Left, &words);
    }
}
