//! Charts of soil loss and of rain.

use hillfolio_documents::draw::{Drawing, charts};
use roxmltree::{Document, Node};

use crate::{
    charts::sheet::{looked_at, named, number, words},
    support::on_a_hill::{filled, on_a_hill},
};

fn drawn() -> Vec<Drawing> {
    let project = on_a_hill();
    let drawings = charts(&project, &filled(&project).ledger);
    looked_at("hill", &drawings);
    drawings
}

/// Every rectangle of a colour: left, top, width, height.
fn oblongs(drawing: &Drawing, colour: &str) -> Vec<[f64; 4]> {
    let parsed = Document::parse(&drawing.svg).unwrap();
    let of = |node: Node<'_, '_>| ["x", "y", "width", "height"].map(|name| number(node, name).unwrap());
    let bars = parsed
        .descendants()
        .filter(|node| node.has_tag_name("rect") && node.attribute("fill") == Some(colour));
    bars.map(of).collect()
}

/// Middles of the filled discs of a colour, from the top down.
fn discs(drawing: &Drawing, colour: &str) -> Vec<f64> {
    let parsed = Document::parse(&drawing.svg).unwrap();
    let discs = parsed
        .descendants()
        .filter(|node| node.has_tag_name("circle") && node.attribute("fill") == Some(colour));
    discs.map(|disc| number(disc, "cx").unwrap()).collect()
}

#[test]
fn soil_loss_stands_on_a_scale_of_equal_ratios() {
    let drawings = drawn();
    let chart = named(&drawings, "soil-loss");
    let (before, now, closed) = (discs(chart, "#8A4A2B"), discs(chart, "#22384F"), discs(chart, "#3F7F78"));
    assert_eq!((before.len(), now.len(), closed.len()), (3, 3, 3));
    // In every area the loss now is 0.18, under a closed canopy 0.02 of that before.
    let decade = (before[0] - now[0]) / libm::log10(1.0 / 0.18);
    for area in 0..3 {
        assert!((before[area] - now[area] - decade * libm::log10(1.0 / 0.18)).abs() < 0.1);
        assert!((before[area] - closed[area] - decade * libm::log10(1.0 / 0.02)).abs() < 0.1);
    }
    assert!((before[0] - before[1] - decade * libm::log10(21.6 / 8.9)).abs() < 0.1);
    let words = words(chart);
    for word in
        ["22", "8.3–56", "under 1", "under 1 to 1.3", "North face: before", "closed canopy", "90 % interval"]
    {
        let held = words.iter().any(|one| one.replace('\u{a0}', " ") == word);
        assert!(held, "{word} in {words:?}");
    }
    assert!(chart.caption.contains("Sheet and rill erosion only"));
}

#[test]
fn every_wet_day_has_its_column_and_every_gap_its_strip() {
    let project = on_a_hill();
    let drawings = drawn();
    let chart = named(&drawings, "rain");
    let period = project.period;
    let days: Vec<_> = project.rain.iter().filter(|day| period.holds(day.date)).collect();
    // The last dark bar is the total below.
    let mut columns = oblongs(chart, "#22384F");
    let total = columns.pop().unwrap();
    let wet: Vec<f64> = days.iter().filter_map(|day| day.mm).map(|mm| mm.0).filter(|mm| *mm > 0.1).collect();
    assert_eq!(columns.len(), wet.len());
    let scale = columns[0][3] / wet[0];
    for (column, mm) in columns.iter().zip(&wet) {
        assert!((column[3] - mm * scale).abs() < 0.05, "{mm} mm is {} high", column[3]);
    }
    let median = oblongs(chart, "#8FB0C4");
    assert_eq!(median.len(), 1);
    let sum: f64 = wet.iter().sum();
    let said =
        words(chart).into_iter().find(|words| words.ends_with("mm") && !words.contains("day")).unwrap();
    assert_eq!(said.replace('\u{a0}', " "), format!("{sum:.0} mm"));
    assert!(total[2] < median[0][2], "a dry year is drawn as a wet one");
    let strips = oblongs(chart, "#8A4A2B");
    assert_eq!(strips.len(), 1);
    let day_wide = (168.0 - 11.0) / days.len() as f64;
    assert!((strips[0][2] - 17.0 * day_wide).abs() < 0.05, "seventeen days in April");
    // Four plantings in August, each with its eight weeks.
    let weeks = oblongs(chart, "#F1E9DF");
    assert_eq!(weeks.len(), 4);
    assert!(weeks.iter().all(|week| (week[2] - 56.0 * day_wide).abs() < 0.05));
    assert!(words(chart).contains(&"planting, 20 to 28 Aug".to_owned()), "{:?}", words(chart));
}

#[test]
fn without_rain_or_soil_there_is_no_chart_of_them() {
    let project = crate::support::small_project();
    let drawings = charts(&project, &hillfolio_core::ledger::fill(&project));
    assert!(drawings.iter().all(|drawing| drawing.name != "rain" && drawing.name != "soil-loss"));
}
