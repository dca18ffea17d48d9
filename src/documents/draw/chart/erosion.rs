//! Soil loss by area: before the work began, now, and under a closed canopy.

use crate::draw::{
    Drawing,
    chart::{
        canvas, dots,
        frame::{Axis, Column, Frame, Row},
        scale::Scale,
        words::{confidence, drawable, interval, listed, value, why_missing},
    },
    palette::SERIES,
};
use hillfolio_core::{
    ledger::{Entry, Figure, Ledger, Series, catalogue},
    project::Project,
    units::Unit,
};

/// The states of the cover: the series, its words, the colour of its dot.
const STATES: [(&Series, &str, &str); 3] = [
    (&catalogue::EROSION_BEFORE, "before", SERIES[1]),
    (&catalogue::EROSION_NOW, "now", SERIES[0]),
    (&catalogue::EROSION_CLOSED_CANOPY, "closed canopy", SERIES[2]),
];

/// Most areas that a page holds.
const MOST_AREAS: usize = 15;

/// Losses that differ by more than this many times are drawn on a scale of decades.
const MANY_TIMES: f64 = 12.0;

/// Below this a loss is "under 1" and its place on the scale says no more, t/(ha.yr).
const LEAST: f64 = 0.1;

struct Dot<'a> {
    area: String,
    state: usize,
    begins: bool,
    first: bool,
    figure: &'a Figure,
}

/// The chart of soil loss.
pub(super) fn soil_loss(project: &Project, ledger: &Ledger) -> Option<Drawing> {
    let areas: Vec<(String, &str)> =
        project.areas.iter().map(|area| (area.id.to_string(), &*area.id.0)).collect();
    let shown = areas.iter().take(MOST_AREAS).cloned();
    let all = (areas.len() > 1).then(|| ("all areas".to_owned(), "all"));
    let mut dots: Vec<Dot<'_>> = shown.chain(all).flat_map(|(name, id)| states(ledger, &name, id)).collect();
    if let Some(dot) = dots.first_mut() {
        dot.first = true;
    }
    let figures = || dots.iter().map(|dot| dot.figure);
    let confidence = confidence(figures());

    let rows = dots.iter().map(|dot| {
        let words = STATES[dot.state].1;
        let name = if dot.begins { format!("{}: {words}", dot.area) } else { words.to_owned() };
        let mut cells = vec![value(dot.figure)];
        cells.extend(confidence.as_ref().map(|_| interval(dot.figure)));
        let row = Row::new(&name, cells);
        let row = if dot.area == "all areas" { row.strong() } else { row };
        if dot.begins && !dot.first { row.begins_group() } else { row }
    });
    let mut columns = vec![Column::new(Unit::SoilLoss.code())];
    columns.extend(confidence.as_ref().map(|level| Column::new(format!("{level} interval"))));
    let rows: Vec<Row> = rows.collect();
    if rows.is_empty() {
        return None;
    }
    let frame = Frame::new(rows, columns, 0.0);
    let values = || figures().flat_map(ends);
    let (low, high) =
        values().fold((f64::INFINITY, 0.0_f64), |(low, high), value| (low.min(value), high.max(value)));
    let decades = high > MANY_TIMES * low;
    let scale = if decades {
        Scale::of_decades(values(), frame.plot(), LEAST)
    } else {
        Scale::over(values(), frame.plot(), 6.0, 0.1)
    };
    let unit = Unit::SoilLoss;
    let title = if decades {
        format!("soil loss, {unit}, on a logarithmic scale: equal steps are equal ratios")
    } else {
        format!("soil loss, {unit}")
    };
    let svg = canvas::drawn(frame.size(), |canvas| {
        frame.draw(canvas, &scale, &Axis::new(title));
        for (dot, middle) in dots.iter().zip(frame.middles()) {
            dots::dot_in(canvas, &scale, middle, dot.figure, STATES[dot.state].2);
        }
    });

    let said: Vec<String> = dots
        .iter()
        .map(|dot| format!("{} {} {}", dot.area, STATES[dot.state].1, value(dot.figure)))
        .collect();
    let reasons = areas.iter().flat_map(|(name, id)| missing(ledger, name, id));
    let mut caption = "Sheet and rill erosion only, a long-run mean; gullies, slips and stream banks are not in it. Dot: soil \
                       loss under the cover before the work, under that of the latest survey, and under a closed canopy, \
                       which is what the planting aims for and not a forecast."
        .to_owned();
    if let Some(level) = &confidence {
        caption += &format!(
            " Whisker: {level} interval. Rain, soil and slope err alike before and now, so the ratio in the table is known \
             better than either."
        );
    }
    if areas.len() > MOST_AREAS {
        caption += &format!(" {} areas are left out here; the table has them.", areas.len() - MOST_AREAS);
    }
    Some(Drawing {
        name: "soil-loss".to_owned(),
        title: "Soil loss by area".to_owned(),
        alt: format!("Dot chart of soil loss in {unit}: {}.", listed(&said, 24)),
        caption: caption + &why_missing(reasons),
        svg,
        size_mm: frame.size(),
        landscape: false,
    })
}

/// The figures of an area, one a state.
fn states<'a>(ledger: &'a Ledger, name: &str, id: &str) -> Vec<Dot<'a>> {
    let mut dots: Vec<Dot<'_>> = Vec::new();
    for (state, (series, ..)) in STATES.iter().enumerate() {
        if let Some(figure) = drawable(ledger, &series.id(&[id])) {
            dots.push(Dot { area: name.to_owned(), state, begins: dots.is_empty(), first: false, figure });
        }
    }
    dots
}

/// Why an area has no figure now or before, and its name.
fn missing(ledger: &Ledger, name: &str, id: &str) -> Vec<(String, String)> {
    let reason = |(series, ..): &(&Series, &str, &str)| match ledger.get(series.id(&[id]).as_str()) {
        Some(Entry::Missing(missing)) => Some(missing.reason.clone()),
        _ => None,
    };
    let mut reasons: Vec<String> = STATES.iter().filter_map(reason).collect();
    reasons.dedup();
    reasons.into_iter().map(|reason| (reason, name.to_owned())).collect()
}

fn ends(figure: &Figure) -> impl Iterator<Item = f64> {
    let bounds = figure.interval.iter().flat_map(|interval| [interval.low, interval.high]);
    std::iter::once(figure.value).chain(bounds).map(|value| value.max(LEAST))
}
