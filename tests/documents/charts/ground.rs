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

/// Width of the plot of a year's rain, mm.
const YEAR_WIDE: f64 = 156.0 - 11.0;

/// Corners of every line or outline whose `attribute` has that colour.
fn traced(drawing: &Drawing, attribute: &str, colour: &str) -> Vec<Vec<(f64, f64)>> {
    let parsed = Document::parse(&drawing.svg).unwrap();
    let corners = |node: Node<'_, '_>| {
        let points = node.attribute("points").unwrap();
        let numbers: Vec<f64> = points
            .split([' ', ','])
            .filter(|part| !part.is_empty())
            .map(|part| part.parse::<f64>().unwrap() / 50.0)
            .collect();
        numbers.chunks(2).map(|pair| (pair[0], pair[1])).collect()
    };
    let of = |node: &Node<'_, '_>| node.attribute(attribute) == Some(colour) && node.has_attribute("points");
    parsed.descendants().filter(of).map(corners).collect()
}

/// What stands below and above: days without a reading, plantings and their eight weeks.
fn has_its_days(chart: &Drawing, days: usize) {
    let day_wide = YEAR_WIDE / days as f64;
    let strips = oblongs(chart, "#8A4A2B");
    assert_eq!(strips.len(), 1);
    assert!((strips[0][2] - 17.0 * day_wide).abs() < 0.05, "seventeen days in April");
    // Four plantings in August, each with its eight weeks.
    let weeks = oblongs(chart, "#F1E9DF");
    assert_eq!(weeks.len(), 4);
    assert!(weeks.iter().all(|week| (week[2] - 56.0 * day_wide).abs() < 0.05));
    assert!(words(chart).contains(&"planting, 20 to 28 Aug".to_owned()), "{:?}", words(chart));
}

#[test]
fn without_other_years_every_wet_day_has_its_column_and_every_gap_its_strip() {
    let mut project = on_a_hill();
    let period = project.period;
    project.rain.retain(|day| period.holds(day.date));
    let drawings = charts(&project, &filled(&project).ledger);
    looked_at("hill-without-other-years", &drawings);
    let chart = named(&drawings, "rain");
    let columns = oblongs(chart, "#22384F");
    let wet: Vec<f64> =
        project.rain.iter().filter_map(|day| day.mm).map(|mm| mm.0).filter(|mm| *mm > 0.1).collect();
    assert_eq!(columns.len(), wet.len());
    let scale = columns[0][3] / wet[0];
    for (column, mm) in columns.iter().zip(&wet) {
        assert!((column[3] - mm * scale).abs() < 0.05, "{mm} mm is {} high", column[3]);
    }
    has_its_days(chart, project.rain.len());
}

#[test]
fn the_sum_since_the_first_day_stands_in_the_band_of_other_years() {
    let project = on_a_hill();
    let ledger = filled(&project).ledger;
    let drawings = drawn();
    let chart = named(&drawings, "rain");
    let days = project.rain.iter().filter(|day| project.period.holds(day.date)).count();
    let (lines, bands) = (traced(chart, "stroke", "#22384F"), traced(chart, "fill", "#CDDBE4"));
    assert_eq!((lines.len(), bands.len()), (1, 1));
    let (line, band) = (&lines[0], &bands[0]);
    // A point where the period begins and one at the end of each day; the band there and back.
    assert_eq!((line.len(), band.len()), (days + 1, 2 * (days + 1)));
    assert!(line.windows(2).all(|pair| pair[1].1 <= pair[0].1), "sums never fall");
    assert!((line[days].0 - line[0].0 - YEAR_WIDE).abs() < 0.05);
    // The last point stands as high as the ledger's total by the scale of the band's own ends.
    let total = ledger.figure("rain.period").unwrap();
    let first = line[0].1;
    let day_of = |mm: f64| (first - line[days].1) / total.value * mm;
    let read: Vec<f64> = project
        .rain
        .iter()
        .filter(|day| project.period.holds(day.date))
        .map(|day| day.mm.map_or(0.0, |mm| mm.0))
        .collect();
    let half: f64 = read[..days / 2].iter().sum();
    assert!((first - line[days / 2].1 - day_of(half)).abs() < 0.05, "half the days");
    for figure in [total, ledger.figure("rain.median-of-other-years").unwrap()] {
        assert!(words(chart).contains(&figure.text()), "{:?}", words(chart));
    }
    assert!(line[days].1 > band[days].1, "a dry year is drawn as a wet one");
    has_its_days(chart, days);
}

#[test]
fn without_rain_or_soil_there_is_no_chart_of_them() {
    let project = crate::support::small_project();
    let drawings = charts(&project, &hillfolio_core::ledger::fill(&project));
    assert!(drawings.iter().all(|drawing| drawing.name != "rain" && drawing.name != "soil-loss"));
}
