//! Carbon of living wood: by area above the ground and in roots, and where the stock may go.

use chrono::{Datelike as _, NaiveDate};

use crate::draw::{
    Drawing,
    chart::{
        across::{Across, day_number},
        bars::{THIN, WIDE},
        canvas,
        curve::{Curve, Join, Shape},
        dots,
        frame::{Axis, Column, Frame, Row},
        panels::{Panel, Panels, Strip},
        rounds,
        scale::Scale,
        words::{confidence, drawable, figures_under, interval, listed, value},
    },
};
use hillfolio_core::{
    ledger::{Figure, Ledger, Series, catalogue},
    project::Project,
    units::Unit,
};

/// The parts of the wood: the series, its words, the colour of its bar.
const PARTS: [(&Series, &str, &str); 2] = [
    (&catalogue::CARBON_ABOVE_GROUND, "above the ground", THIN),
    (&catalogue::CARBON_BELOW_GROUND, "roots", WIDE),
];

/// Most areas that a page holds.
const MOST_AREAS: usize = 18;

struct Bar<'a> {
    name: String,
    begins: bool,
    strong: bool,
    colour: &'static str,
    figure: &'a Figure,
}

/// Carbon to the hectare in each area, above the ground and in roots.
pub(super) fn by_part(project: &Project, ledger: &Ledger) -> Option<Drawing> {
    let areas = project.areas.iter().take(MOST_AREAS).map(|area| (area.id.to_string(), &*area.id.0));
    let all = (project.areas.len() > 1).then(|| ("All areas".to_owned(), "all"));
    let mut bars: Vec<Bar<'_>> = Vec::new();
    for (area, id) in areas.chain(all) {
        let mut begins = true;
        for (series, words, colour) in PARTS {
            let Some(figure) = drawable(ledger, &series.id(&[id])) else { continue };
            let name = if begins { format!("{area}: {words}") } else { words.to_owned() };
            bars.push(Bar { name, begins, strong: id == "all", colour, figure });
            begins = false;
        }
    }
    let first = bars.first()?.figure;
    let level = confidence(bars.iter().map(|bar| bar.figure));
    let rows = bars.iter().enumerate().map(|(at, bar)| {
        let mut cells = vec![value(bar.figure)];
        cells.extend(level.as_ref().map(|_| interval(bar.figure)));
        let row = Row::new(&bar.name, cells);
        let row = if bar.strong { row.strong() } else { row };
        if bar.begins && at > 0 { row.begins_group() } else { row }
    });
    let unit = first.unit.clone();
    let mut columns = vec![Column::new(unit.to_string())];
    columns.extend(level.as_ref().map(|level| Column::new(format!("{level} interval"))));
    let frame = Frame::new(rows.collect(), columns, 0.0);
    let ends = |bar: &Bar<'_>| {
        let bounds = bar.figure.interval.map(|ends| [ends.low, ends.high]);
        std::iter::once(bar.figure.value).chain(bounds.into_iter().flatten())
    };
    let scale = Scale::over(bars.iter().flat_map(ends), frame.plot(), 6.0, 0.1);
    let svg = canvas::drawn(frame.size(), |canvas| {
        frame.draw(canvas, &scale, &Axis::new(format!("carbon, {unit}")));
        for (bar, middle) in bars.iter().zip(frame.middles()) {
            let half = frame.pitch() * 0.3;
            canvas.bar(
                (scale.at(0.0), middle - half),
                (scale.at(bar.figure.value), middle + half),
                bar.colour,
            );
            dots::whisker(canvas, &scale, middle, bar.figure);
        }
    });
    let said: Vec<String> = bars.iter().map(|bar| format!("{} {}", bar.name, value(bar.figure))).collect();
    let mut caption =
        "Carbon of living wood on a plan hectare at the latest survey; dark: above the ground, light: roots."
            .to_owned();
    if let Some(level) = level {
        caption += &format!(
            " Whisker: {level} interval, from the differences between plots, the equations and the roots together."
        );
    }
    let left_out = project.areas.len().saturating_sub(MOST_AREAS);
    if left_out > 0 {
        caption += &format!(" {left_out} areas are left out here; the table has them.");
    }
    Some(Drawing {
        name: "carbon".to_owned(),
        title: "Carbon of living wood, by area".to_owned(),
        alt: format!("Bar chart of carbon in {unit}: {}.", listed(&said, 24)),
        caption,
        svg,
        size_mm: frame.size(),
        landscape: false,
    })
}

/// The stock of all areas as surveyed, and carried forward; `None` where the folder gives no age of fastest growth.
pub(super) fn projection(project: &Project, ledger: &Ledger) -> Option<Drawing> {
    let day = |year: i32| project.period.to.with_year(year).or_else(|| NaiveDate::from_ymd_opt(year, 2, 28));
    let mut ahead: Vec<(NaiveDate, &Figure)> = figures_under(ledger, &catalogue::CARBON_PROJECTION, &["all"])
        .filter_map(|(year, figure)| Some((day(year.parse().ok()?)?, figure)))
        .collect();
    ahead.sort_by_key(|(day, _)| *day);
    let (last, end) = *ahead.last()?;
    let id = catalogue::CARBON_STOCK.whole();
    let mut found = ledger.rounds(&id);
    if found.is_empty() {
        found = vec![(project.period.to, id)];
    }
    let found: Vec<(NaiveDate, &Figure)> =
        found.into_iter().filter_map(|(day, id)| Some((day, ledger.figure(id.as_str())?))).collect();
    let now = *found.last()?;
    let projected: Vec<(NaiveDate, &Figure)> = std::iter::once(now).chain(ahead.iter().copied()).collect();
    let planted = project.plantings.iter().map(|planting| planting.date);
    let first = planted.chain(found.iter().map(|(day, _)| *day)).min()?;
    let surveyed = on_axis(&found);
    let panel = Panel {
        heading: "All areas".to_owned(),
        bands: vec![band(&projected)],
        curves: vec![
            Curve { name: "projected", shape: Shape::Ring, join: Join::Dashes, points: on_axis(&projected) },
            Curve { name: "surveyed", shape: Shape::Disc, join: Join::Line, points: surveyed },
        ],
        ..Panel::default()
    };
    let unit = Unit::CarbonDioxide;
    let strip = Strip {
        title: format!("Carbon stock of living wood and roots, {unit}: a projection"),
        shares: false,
        highest: panel.highest(),
        panels: vec![panel],
    };
    let panels = Panels { strips: vec![strip], across: Across::years(first, last), counted: "" };
    let said: Vec<String> =
        ahead.iter().map(|(day, figure)| format!("{} in {}", value(figure), day.year())).collect();
    Some(Drawing {
        name: "carbon-projection".to_owned(),
        title: "Where the stock may go: a projection".to_owned(),
        alt: format!(
            "Line chart of carbon stock in {unit}: surveyed {} at the last survey, projected {}.",
            value(now.1),
            listed(&said, 8)
        ),
        caption: format!(
            "Filled marks: surveyed. Open marks joined by dashes, on pale ground: projected by a published curve of growth through the \
             stock of the last survey, with the band that the error of that stock and the ages of fastest growth given in the folder \
             span; {}. Nobody has measured it and nobody promises it. {}",
            end.notes.iter().filter(|note| note.starts_with("no")).cloned().collect::<Vec<_>>().join("; "),
            rounds::READING
        ),
        svg: canvas::drawn(panels.size(), |canvas| panels.draw(canvas)),
        size_mm: panels.size(),
        landscape: false,
    })
}

fn on_axis<'a>(figures: &[(NaiveDate, &'a Figure)]) -> Vec<(f64, &'a Figure)> {
    figures.iter().map(|(day, figure)| (day_number(*day), *figure)).collect()
}

/// The outline of the intervals of `points`.
fn band(points: &[(NaiveDate, &Figure)]) -> Vec<(f64, f64)> {
    let ends =
        |figure: &Figure| figure.interval.map_or((figure.value, figure.value), |ends| (ends.low, ends.high));
    let upper = points.iter().map(|(day, figure)| (day_number(*day), ends(figure).1));
    let lower = points.iter().rev().map(|(day, figure)| (day_number(*day), ends(figure).0));
    upper.chain(lower).collect()
}
