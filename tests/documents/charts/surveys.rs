//! Charts of several surveys, held against the ledger of the offset sample, the only project here with four of them.

use std::path::Path;

use hillfolio_core::intake::Folder;
use hillfolio_core::{
    ledger::{self, Figure, FigureId, Ledger},
    project::Project,
    units::percent,
};
use hillfolio_documents::draw::{Drawing, charts};
use roxmltree::{Document, Node};

use crate::charts::sheet::{bars, looked_at, named, number, words};

const DARK: &str = "#22384F";
const LIGHT: &str = "#8FB0C4";
const BROWN: &str = "#8A4A2B";
/// Height of a panel's plot, mm.
const PLOT: f64 = 34.0;

pub(crate) fn sample() -> (Project, Ledger) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../sample-projects/ashlar-gap");
    let project = hillfolio_core::intake::read(
        &Folder::open(&folder).unwrap(),
        &hillfolio_documents::typeset::printable(),
    )
    .unwrap()
    .project;
    let ledger = ledger::fill(&project);
    (project, ledger)
}

fn drawn() -> (Project, Ledger, Vec<Drawing>) {
    let (project, ledger) = sample();
    let drawings = charts(&project, &ledger);
    looked_at("surveys", &drawings);
    (project, ledger, drawings)
}

/// Centres of circles with a fill or, where `open`, a stroke of a colour, in the order in which they are drawn.
fn circles(drawing: &Drawing, colour: &str, open: bool) -> Vec<(f64, f64)> {
    let parsed = Document::parse(&drawing.svg).unwrap();
    let ink = if open { "stroke" } else { "fill" };
    let is = |node: &Node<'_, '_>| node.has_tag_name("circle") && node.attribute(ink) == Some(colour);
    let centre = |node: Node<'_, '_>| (number(node, "cx").unwrap(), number(node, "cy").unwrap());
    parsed.descendants().filter(is).map(centre).collect()
}

fn figure<'a>(ledger: &'a Ledger, id: &str) -> &'a Figure {
    ledger.figure(id).unwrap_or_else(|| panic!("no {id}"))
}

fn plain(words: &str) -> String {
    words.replace('\u{a0}', " ")
}

#[test]
fn surveys_stand_at_their_days_and_heights() {
    let (_, ledger, drawings) = drawn();
    let chart = named(&drawings, "survey-series");
    let discs = circles(chart, DARK, false);
    let rounds = ledger.rounds(&FigureId::fixed("survival.all"));
    assert_eq!(
        (rounds.len(), discs.len()),
        (4, 4 * 4 * 2),
        "four surveys of four scopes, survival and density"
    );
    let days = |n: usize| (rounds[n].0 - rounds[0].0).num_days() as f64;
    let a_day = (discs[3].0 - discs[0].0) / days(3);
    for (n, (_, id)) in rounds.iter().enumerate() {
        assert!((discs[n].0 - discs[0].0 - days(n) * a_day).abs() < 0.05, "survey {n} is off its day");
        let fall = figure(&ledger, rounds[0].1.as_str()).value - figure(&ledger, id.as_str()).value;
        assert!((discs[n].1 - discs[0].1 - fall * PLOT).abs() < 0.05, "survey {n} is off its height");
    }
    let words: Vec<String> = words(chart).iter().map(|words| plain(words)).collect();
    let last = plain(&percent(figure(&ledger, "survival.all").value, 1));
    for word in ["at least 70.0 %", "at least 1,800", "Knoll", "2023", last.as_str()] {
        assert!(words.iter().any(|one| one == word), "{word} in {words:?}");
    }
    assert!(words.iter().any(|one| one.starts_with("self-sown ")));
    assert!(chart.caption.contains("90 % interval") || plain(&chart.caption).contains("90 % interval"));
}

#[test]
fn what_is_expected_is_open_and_joined_by_dashes() {
    let (_, ledger, drawings) = drawn();
    let chart = named(&drawings, "survey-series-cover");
    let open = circles(chart, DARK, true);
    assert_eq!(open.len(), 2, "two targets are still to come");
    let (five, eight) = (
        figure(&ledger, "target.expected.canopy-y5").value,
        figure(&ledger, "target.expected.canopy-y8").value,
    );
    assert!((open[0].1 - open[1].1 - (eight - five) * PLOT).abs() < 0.05);
    assert!(open[0].0 < open[1].0);
    let found = circles(chart, DARK, false);
    assert_eq!(found.len(), 7 * 4, "seven covers, four surveys");
    assert!(found[..4].iter().all(|disc| disc.0 < open[0].0), "what was found lies before what is expected");
    assert!(chart.caption.contains("an expectation, not a finding"));
    let brown = Document::parse(&chart.svg).unwrap();
    let marks = brown
        .descendants()
        .filter(|node| node.has_tag_name("polygon") && node.attribute("fill") == Some(BROWN));
    assert_eq!(marks.count(), 3, "two of the canopy, one of the weeds");
}

#[test]
fn tagged_stems_step_down_and_species_level_off() {
    let (_, ledger, drawings) = drawn();
    let tagged = named(&drawings, "tagged-stems");
    let steps = circles(tagged, DARK, false);
    let held = ledger.iter().filter(|(id, _)| id.as_str().starts_with("survival.tagged.")).count();
    assert_eq!(steps.len(), held, "a mark a figure");
    let (first, last) = (
        figure(&ledger, "survival.tagged.364-days.all").value,
        figure(&ledger, "survival.tagged.1099-days.all").value,
    );
    assert!((steps[2].1 - steps[0].1 - (first - last) * PLOT).abs() < 0.05);
    let curve = named(&drawings, "rarefaction");
    let marks = circles(curve, DARK, false);
    let held = ledger.iter().filter(|(id, _)| id.as_str().starts_with("diversity.rarefied.")).count();
    assert_eq!(marks.len(), held);
    assert!(marks.windows(2).all(|pair| pair[0].0 < pair[1].0 && pair[0].1 >= pair[1].1), "{marks:?}");
}

#[test]
fn carbon_is_as_long_as_its_figures_and_a_projection_says_so() {
    let (_, ledger, drawings) = drawn();
    let chart = named(&drawings, "carbon");
    let (above, below) = (bars(chart, DARK), bars(chart, LIGHT));
    assert_eq!((above.len(), below.len()), (4, 4));
    let unit = above[0].1 / figure(&ledger, "carbon.above-ground.upper-slope").value;
    for (bar, id) in [
        (above[1], "carbon.above-ground.creek-side"),
        (below[2], "carbon.below-ground.knoll"),
        (above[3], "carbon.above-ground.all"),
    ] {
        assert!((bar.1 / unit - figure(&ledger, id).value).abs() < 0.02, "{id}");
    }
    let ahead = named(&drawings, "carbon-projection");
    assert!(
        ahead.title.contains("projection") && words(ahead).iter().any(|one| one.contains("a projection"))
    );
    // The projection begins at the last survey.
    assert_eq!(circles(ahead, DARK, true).len(), 1 + 5);
    assert_eq!(named(&drawings, "carbon-series").size_mm.0, 170.0);
}

#[test]
fn without_a_second_survey_there_is_no_series() {
    let project = crate::support::small_project();
    let drawings = charts(&project, &ledger::fill(&project));
    for name in ["survey-series", "survey-series-cover", "tagged-stems", "carbon", "carbon-projection"] {
        assert!(drawings.iter().all(|drawing| drawing.name != name), "{name}");
    }
}

#[test]
fn many_areas_fit_a_page_and_say_what_is_left_out() {
    let (mut project, mut ledger) = sample();
    let shape = project.areas[0].clone();
    for n in 0..20 {
        let name = format!("Area {n:02} {}", "wide ".repeat(n % 9));
        project.areas.push(hillfolio_core::project::Area {
            id: crate::support::area_id(name.trim()),
            ..shape.clone()
        });
        for date in ["2022-05-17", "2025-05-20"] {
            let id = FigureId::of(&format!("survival.at.{date}"), name.trim());
            crate::charts::by_hand::share(
                &mut ledger,
                id.as_str(),
                0.4,
                Some((0.0, 1.0)),
                Default::default(),
            );
        }
    }
    let drawings = charts(&project, &ledger);
    looked_at("many-areas", &drawings);
    assert!(named(&drawings, "survey-series").caption.contains("16 areas are left out here"));
}
