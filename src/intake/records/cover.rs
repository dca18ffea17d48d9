//! `cover`: cover readings.

use crate::{
    intake::{
        cell::Cells,
        records::Known,
        table::{Layout, Table},
    },
    problem::{Problem, Reading},
    project::{CoverMeasure, CoverReading, Layer},
};

/// The columns.
pub(crate) const LAYOUT: Layout = Layout {
    table: "cover",
    required: &["date", "plot", "layer", "cover"],
    optional: &["percent", "hits", "points", "height_m", "note"],
};

/// Higher than the underside of any canopy, m.
const HIGHEST: f64 = 130.0;

/// Every reading.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<CoverReading> {
    table.doubt_repeats(problems);
    table.each(problems, |row| {
        let (date, plot) = (row.day("date"), row.plot("plot", known));
        let layer = row.word("layer", &[Layer::Canopy, Layer::Shrub, Layer::Ground], Layer::word);
        let (measure, height) = (measure(row), row.metres("height_m", HIGHEST));
        Some(CoverReading {
            date: date?,
            plot: plot?,
            layer: layer?,
            cover: row.text("cover")?,
            measure: measure?,
            height,
            note: row.text("note"),
            source: row.source(),
        })
    })
}

/// Per cent, or hits of points.
fn measure(row: &mut Cells<'_>) -> Option<CoverMeasure> {
    let given = ["percent", "hits", "points"].map(|column| row.raw(column).is_some());
    let percent = row.number("percent", (0.0, 100.0), "a percentage from 0 to 100");
    let hits = row.whole("hits", (0, 1_000_000), "a whole number, 0 or more");
    let points = row.whole("points", (1, 1_000_000), "a whole number, 1 or more");
    match given {
        [false, false, false] => {
            row.say("percent", Reading::CellEmpty { column: "percent, or hits and points".to_owned() })
        }
        [false, ..] => row.both("hits", "points"),
        [true, hits, points] if hits || points => {
            row.say("percent", Reading::OneOrTheOther { one: "percent", other: "hits and points" });
        }
        _ => {}
    }
    if let Some((hits, points)) = hits.zip(points).filter(|(hits, points)| hits > points) {
        let kind = Reading::OutOfRange {
            found: hits.to_string(),
            wanted: format!("at most the {points} points read"),
        };
        row.say("hits", kind);
        return None;
    }
    let counted = hits.zip(points).map(|(hits, points)| CoverMeasure::Hits { hits, points });
    counted.or(percent.map(CoverMeasure::Percent))
}
