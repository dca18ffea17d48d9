//! The offset report of the sample with four surveys: every section, every figure with its origin, nothing that is not in the ledger.

use std::collections::BTreeSet;

use hillfolio_core::{
    ledger::{Entry, Filled, Ledger},
    project::Project,
};
use hillfolio_documents::typeset::Proof;

use crate::{
    charts::surveys::sample,
    typeset::{report_and_workings, set_from, tight},
};

fn set(project: &Project, ledger: &Ledger) -> Vec<Proof> {
    let cells = hillfolio_core::ledger::fill_but_plan(project).cells;
    set_from("offset", project, &[], &Filled { ledger: ledger.clone(), cells })
}

fn paper(project: &Project, ledger: &Ledger) -> (String, usize) {
    let proofs = set(project, ledger);
    let proof = proofs.iter().find(|proof| proof.name == "offset.pdf").unwrap();
    (report_and_workings(&proofs, "offset.pdf"), proof.pages.len())
}

#[test]
fn every_section_is_set_and_every_figure_it_prints_is_in_the_index() {
    let (project, ledger) = sample();
    let (text, pages) = paper(&project, &ledger);
    assert!(pages <= 24, "{pages} pages");
    let has = |words: &str| assert!(text.contains(&tight(words)), "`{words}` is not on paper");
    for words in [
        "What was promised and what there is",
        "The approval, what comes next, decisions",
        "Conditions and commitments",
        "Why each target stands as it does",
        "Survey after survey",
        "Stems from survey to survey",
        "Cover from survey to survey, by layer",
        "How long tagged stems live",
        "What lives there",
        "Species by number of plots",
        "Against benchmarks",
        "Composition, structure and function",
        "Wildlife seen in the period",
        "One sensitive sighting is not drawn: its place is withheld",
        "Stems at risk",
        "Carbon of living wood, by area",
        "Carbon stock from survey to survey",
        "Where the stock may go: a projection",
        "They are no carbon credits",
        "Programme of the year to come",
        "Photo points",
        "Before anyone works on this ground",
        "Declaration",
        "Index of figures",
        "Notes of the index",
        "Rows of the files",
        "All stand in figures.csv, which is in the pack and attached to the report",
        "on course:",
        "Due by 30 June 2026, after the period's end on 30 June 2025",
        "17 May 2022",
    ] {
        has(words);
    }
    // A figure that belongs to no single survey is always in the index, with its interval, method and rows.
    for (id, entry) in ledger.iter().filter(|(id, _)| !id.is_of_one_survey()) {
        has(id.as_str());
        if let Entry::Figure(figure) = entry {
            has(&figure.text());
            has(&figure.interval_text().unwrap_or_default());
            has(figure.method.title());
            // Of a long list of rows the first sixty runs.
            // A page may end within it.
            figure.sources.abridged(60).for_each(|(file, rows)| {
                let rows = rows.to_string();
                let mut runs = rows.split(", ");
                has(&format!("{file}: {}", runs.next().unwrap_or_default()));
                runs.for_each(has);
            });
        }
    }
    has("survival.at.2022-05-17.all");
    assert!(!text.contains("height.at.2022-05-17"), "an earlier survey that no table prints is in the index");
    let left_out = ledger
        .iter()
        .filter(|(id, _)| id.is_of_one_survey())
        .filter(|(id, _)| !text.contains(&tight(id.as_str())));
    let left_out = left_out.count();
    has(&format!("{left_out} entries of single surveys"));
}

/// Numbers of the body that hold a decimal point: each is a figure, an end of an interval, or stands in the folder's own words.
#[test]
fn nothing_is_printed_that_is_not_a_figure() {
    let (mut project, ledger) = sample();
    // Words of users may hold any number.
    project.narrative.clear();
    project.commitments.clear();
    let proofs = set(&project, &ledger);
    let proof = proofs.iter().find(|proof| proof.name == "offset.pdf").unwrap();
    let body = proof.pages.iter();
    let mut known: BTreeSet<String> = BTreeSet::new();
    let mut know = |text: &str| known.extend(decimals(text));
    for (_, entry) in ledger.iter() {
        if let Entry::Figure(figure) = entry {
            know(&figure.to_string());
            know(&figure.number_text());
            figure.notes.iter().for_each(|note| know(note));
        }
    }
    for judged in &ledger.targets {
        know(&judged.because);
        let (hillfolio_core::project::Bound::AtLeast(asked) | hillfolio_core::project::Bound::AtMost(asked)) =
            judged.target.bound;
        know(&format!("{asked:.1} {:.1}", asked * 100.0));
    }
    let triggers = project.targets.iter().filter_map(|target| target.trigger.as_ref());
    triggers.for_each(|trigger| know(&format!("{:.1} {:.1}", trigger.at, trigger.at * 100.0)));
    // What the folder says of itself: approved hectares, work done and planned, places of photo points, steps of a scale.
    know(&format!("{:?} {:?} {:?}", project.approval, project.programme, project.photo_points));
    know("5.80");
    let scales = ["0.01", "0.1", "0.2", "0.5"];
    let places = |number: &String| number.split('.').nth(1).is_some_and(|decimals| decimals.len() >= 5);
    // Cells of a table follow each other without a space, so that a number may have digits of its neighbour before it.
    let is_known = |number: &String| (0..number.len()).any(|from| known.contains(&number[from..]));
    let strange: BTreeSet<String> = body
        .flat_map(|page| decimals(page))
        .filter(|number| !is_known(number) && !scales.contains(&number.as_str()) && !places(number))
        .collect();
    assert!(strange.is_empty(), "on paper and not in the ledger: {strange:?}");
}

/// Every number with a decimal point in `text`.
fn decimals(text: &str) -> Vec<String> {
    let plain: String = text.chars().filter(|letter| !matches!(letter, ',' | '\u{200b}')).collect();
    plain
        .split(|letter: char| !letter.is_ascii_digit() && letter != '.')
        .map(|number| number.trim_matches('.'))
        .filter(|number| number.matches('.').count() == 1)
        .map(str::to_owned)
        .collect()
}
