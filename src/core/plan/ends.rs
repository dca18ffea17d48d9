//! The ends of rows, where they squeeze in between two others.

use std::ops::Range;

use geo::{Coord, LineString};

use crate::plan::{fall_line::SegmentIndex, spread::GRADE_TOLERANCE, surface::Surface};

/// An end nearer to another row than this share of the spacing is cut back.
const CROWDED: f64 = 0.6;

/// An end that hooks is cut back by at most this many spacings, one that is crowded by as many again.
const MOST: f64 = 2.0;

/// Every row with its two ends cut back to where it is level and stands clear of the others; none where nothing is left.
///
/// Rows are cut one after another: where two ends crowd each other, only the first makes way.
pub(crate) fn cut_back(ground: &Surface, rows: &[LineString<f64>], spacing: f64) -> Vec<LineString<f64>> {
    let segments = SegmentIndex::of(rows, spacing);
    let mut kept: Vec<Range<usize>> = rows.iter().map(|line| 0..line.0.len()).collect();
    for (row, line) in rows.iter().enumerate().filter(|(_, line)| !line.is_closed()) {
        for side in [Side::Last, Side::First] {
            let level = shortened(line, kept[row].clone(), side, MOST * spacing, |one, end| {
                let plan = libm::hypot(end.x - one.x, end.y - one.y);
                let rise =
                    ground.at(one).zip(ground.at(end)).map_or(0.0, |(one, end)| end.height - one.height);
                rise.abs() > GRADE_TOLERANCE * plan
            });
            let clear = shortened(line, level, side, MOST * spacing, |_, end| {
                let stretch = ground.at(end).map_or(1.0, |lie| lie.stretch());
                segments.near(end, CROWDED * spacing / stretch, |(other, at)| {
                    other == row || !(kept[other].start <= at && at + 1 < kept[other].end)
                })
            });
            kept[row] = clear;
        }
    }
    let parts = rows.iter().zip(kept).filter(|(_, kept)| kept.len() > 1);
    parts.map(|(line, kept)| LineString(line.0[kept].to_vec())).collect()
}

/// An end of a line.
#[derive(Clone, Copy)]
enum Side {
    First,
    Last,
}

/// What is left of the `kept` corners when those at one side are taken off while `wrong` says so of the last piece, `most` metres
/// at most.
fn shortened(
    line: &LineString<f64>,
    mut kept: Range<usize>,
    side: Side,
    most: f64,
    wrong: impl Fn(Coord<f64>, Coord<f64>) -> bool,
) -> Range<usize> {
    let mut cut = 0.0;
    while kept.len() > 1 {
        let (one, end) = match side {
            Side::First => (line.0[kept.start + 1], line.0[kept.start]),
            Side::Last => (line.0[kept.end - 2], line.0[kept.end - 1]),
        };
        cut += libm::hypot(end.x - one.x, end.y - one.y);
        if cut > most || !wrong(one, end) {
            break;
        }
        match side {
            Side::First => kept.start += 1,
            Side::Last => kept.end -= 1,
        }
    }
    kept
}
