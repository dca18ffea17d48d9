//! `cover`: cover readings.

use std::sync::Arc;

use crate::{
    intake::{
        cell::Cells,
        nearest::{nearest, same},
        records::Known,
        table::Table,
    },
    problem::{Problem, Reading, Records},
    project::{CoverClass, CoverMeasure, CoverReading, Layer, Plot, PlotId, PlotShape},
    units::Metres,
};

/// Higher than the underside of any canopy, m.
const HIGHEST: f64 = 130.0;

/// The longest line, m.
const LONGEST: f64 = 1000.0;

/// What a reading may refer to beside what every table may.
pub(crate) struct Frame<'a> {
    /// The plots, for the length of a line along one.
    pub(crate) plots: &'a [Plot],
    /// The scale that classes belong to.
    pub(crate) scale: &'a [Arc<CoverClass>],
}

/// Every reading.
pub(crate) fn read(
    table: &Table,
    known: &Known,
    frame: &Frame<'_>,
    problems: &mut Vec<Problem>,
) -> Vec<CoverReading> {
    table.doubt_repeats(problems);
    table.each(problems, |row| {
        let (date, plot) = (row.day("date"), row.plot("plot", known));
        let layer = row.word("layer", &[Layer::Canopy, Layer::Shrub, Layer::Ground], Layer::word);
        let (measure, height) = (measure(row, plot.as_ref(), frame), row.metres("height_m", HIGHEST));
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

/// The ways of reading a cover: the column that tells of each, and how it is called in a sentence.
const WAYS: [(&[&str], &str); 4] = [
    (&["percent"], "percent"),
    (&["hits", "points"], "hits and points"),
    (&["class"], "class"),
    (&["intercept_m"], "intercept_m"),
];

/// The one way in which the row gives its reading.
fn measure(row: &mut Cells<'_>, plot: Option<&PlotId>, frame: &Frame<'_>) -> Option<CoverMeasure> {
    let mut given = WAYS.iter().filter(|(columns, _)| columns.iter().any(|column| row.raw(column).is_some()));
    let (first, second) = (given.next(), given.next());
    // Every cell is read, so that each that can't be is said.
    let percent = row.number("percent", (0.0, 100.0), "a percentage from 0 to 100");
    let hits = hits(row);
    let Some((columns, one)) = first else {
        row.say(
            "percent",
            Reading::CellEmpty {
                table: "",
                column: "percent, hits and points, class, or intercept_m".to_owned(),
                above: None,
            },
        );
        return None;
    };
    if let Some((_, other)) = second {
        row.say(columns[0], Reading::OneOrTheOther { one, other });
        return None;
    }
    match *one {
        "percent" => percent.map(CoverMeasure::Percent),
        "class" => class(row, frame.scale),
        "intercept_m" => intercept(row, plot, frame.plots),
        _ => hits,
    }
}

/// Hits of points.
fn hits(row: &mut Cells<'_>) -> Option<CoverMeasure> {
    row.both("hits", "points");
    let hits = row.whole("hits", (0, 1_000_000), "a whole number, 0 or more");
    let points = row.whole("points", (1, 1_000_000), "a whole number, 1 or more");
    let (hits, points) = hits.zip(points)?;
    if hits > points {
        let kind = Reading::OutOfRange {
            found: hits.to_string(),
            wanted: format!("at most the {points} points read"),
        };
        row.say("hits", kind);
        return None;
    }
    Some(CoverMeasure::Hits { hits, points })
}

/// A class of the scale that the settings name.
fn class(row: &mut Cells<'_>, scale: &[Arc<CoverClass>]) -> Option<CoverMeasure> {
    let found = row.text("class")?;
    if scale.is_empty() {
        row.say("class", Records::CoverScaleNotSet { found });
        return None;
    }
    let class = scale.iter().find(|class| same(&class.code, &found));
    if class.is_none() {
        let known: Vec<String> = scale.iter().map(|class| class.code.to_string()).collect();
        let nearest = nearest(&found, known.iter().map(String::as_str));
        row.say("class", Reading::WordUnknown { found, known, nearest });
    }
    class.cloned().map(CoverMeasure::Class)
}

/// Length of a line that the cover takes; the line as long as the plot, where its own length is not given.
fn intercept(row: &mut Cells<'_>, plot: Option<&PlotId>, plots: &[Plot]) -> Option<CoverMeasure> {
    let covered = row.number("intercept_m", (0.0, LONGEST), "a length in metres, from 0 to 1000");
    let own = row.metres("line_m", LONGEST);
    let along = plots.iter().find(|known| Some(&known.id) == plot).and_then(|plot| match plot.shape {
        PlotShape::Rectangle(length, _) => Some(length),
        PlotShape::Area(_) | PlotShape::Circle(_) => None,
    });
    if row.raw("line_m").is_none() && along.is_none() && plot.is_some() {
        row.say(
            "intercept_m",
            Reading::CellEmpty {
                table: "",
                column: "line_m, or length_m of the plot,".to_owned(),
                above: None,
            },
        );
        return None;
    }
    let (covered, line) = (covered?, own.or(along)?);
    if covered > line.0 {
        let kind = Reading::OutOfRange {
            found: covered.to_string(),
            wanted: format!("at most the {} m of its line", line.0),
        };
        row.say("intercept_m", kind);
        return None;
    }
    Some(CoverMeasure::Intercept { covered: Metres(covered), line, name: row.text("line").map(Into::into) })
}
