//! The samples' documents page by page: how many pages, how full; what the first two answer; whether the workings hold what reports name.

use std::{collections::BTreeSet, path::Path};

use hillfolio_core::{intake, intake::Folder, ledger, plan, project::Project};
use hillfolio_documents::{
    draw,
    typeset::{self, Document, Engine, PrintPicture, Proof, ReportInputs},
};

use crate::typeset::tight;

/// A page filled less than this has a bare bottom.
const BARE: f64 = 0.55;
/// The part of all pages that may be so, covers and last pages apart.
const BARE_PAGES: f64 = 0.02;

/// The documents of the sample `name`, with its own pictures.
fn set(name: &str) -> Vec<Proof> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../sample-projects").join(name);
    let folder = Folder::open(&root).unwrap();
    let read = intake::read(&folder, &typeset::printable()).unwrap();
    let project: Project = read.project;
    let plan = plan::make(&project);
    let mut filled = ledger::fill_but_plan(&project);
    if let Some(plan) = &plan {
        ledger::enter_plan(&mut filled.ledger, &project, plan);
    }
    let sheets = draw::sheets(&project, plan.as_ref(), &filled);
    let shrunk = typeset::photos(&project).into_iter().map(|(photo, pixels)| {
        let bytes = folder.bytes(&photo.path).unwrap();
        let small = draw::photo::shrink(&bytes, pixels, typeset::PICTURE_QUALITY).unwrap();
        PrintPicture {
            path: photo.path.clone(),
            jpeg: small.jpeg.into(),
            width: small.width,
            height: small.height,
        }
    });
    let pictures: Vec<PrintPicture> = shrunk.collect();
    let mut problems = read.problems;
    problems.extend(filled.ledger.doubts.iter().cloned());
    let inputs = ReportInputs {
        project: &project,
        plan: plan.as_ref(),
        ledger: &filled.ledger,
        cells: filled.cells.as_ref(),
        sheets: &sheets,
        pictures: &pictures,
        problems: &problems,
        records: &ledger::files(&filled.ledger, &project, &problems, "0.0.0").unwrap(),
        version: "0.0.0",
    };
    Engine::new(&[]).proofs(&inputs, &Document::due(&project)).unwrap()
}

fn named<'a>(proofs: &'a [Proof], name: &str) -> &'a Proof {
    proofs.iter().find(|proof| proof.name == name).unwrap()
}

/// The last page of the body, from 1 on: that on which the report is signed.
fn body(proof: &Proof) -> usize {
    let signed = |page: &String| tight(page).contains("Signature,withauthoritytosign");
    proof.pages.iter().rposition(signed).unwrap() + 1
}

/// The numbers that stand behind `mark` in `text`.
fn numbers(text: &str, mark: &str) -> BTreeSet<usize> {
    let after = text.match_indices(mark).map(|(at, _)| &text[at + mark.len()..]);
    let digits = after.map(|rest| rest.chars().take_while(char::is_ascii_digit).collect::<String>());
    digits.filter_map(|digits| digits.parse().ok()).collect()
}

#[test]
fn reports_are_short_their_pages_full_and_their_places_in_the_workings() {
    let (mut pages, mut bare) = (0, Vec::new());
    for (sample, report, most, most_of_body) in [
        ("brindle-spur", "acquittal.pdf", 16, 12),
        ("tussock-fold", "acquittal.pdf", 20, 16),
        ("ashlar-gap", "offset.pdf", 22, 20),
    ] {
        let proofs = set(sample);
        let proof = named(&proofs, report);
        assert!(proof.pages.len() <= most, "{sample}: {} pages", proof.pages.len());
        assert!(body(proof) <= most_of_body, "{sample}: a body of {} pages", body(proof));
        for document in proofs.iter().filter(|proof| !proof.name.starts_with("maps/")) {
            let inner = document.filled.len().saturating_sub(2);
            pages += inner;
            let filled = document.filled.iter().enumerate().skip(1).take(inner);
            bare.extend(
                filled
                    .filter(|(_, filled)| **filled < BARE)
                    .map(|(at, filled)| format!("{sample} {} page {}: {filled:.2}", document.name, at + 1)),
            );
        }

        let text: String = proof.pages.join(" ");
        let tables = numbers(&text, "Table ");
        assert_eq!(tables, (1..=tables.len()).collect(), "{sample}: numbers of tables");
        let workings: String = named(&proofs, "workings.pdf").pages.concat().replace('\u{a0}', " ");
        let places = numbers(&text.replace('\u{a0}', " "), "W ");
        assert!(places.len() > 10, "{sample}: only {} places in the workings", places.len());
        let there = numbers(&workings, "W ");
        let lost: Vec<&usize> = places.difference(&there).collect();
        assert!(lost.is_empty(), "{sample}: not in the workings: {lost:?}");
    }
    assert!(pages > 100, "only {pages} pages were looked at");
    assert!(bare.len() as f64 <= BARE_PAGES * pages as f64, "{} of {pages}: {bare:#?}", bare.len());
}

#[test]
fn the_first_two_pages_answer() {
    for (sample, answers) in [
        (
            "brindle-spur",
            &[
                // Promised; alive; spent; not right; to be decided; to be signed.
                "Of seven targets that are due, ",
                "one is not met.",
                "Not met: “At least 320 hours given by volunteers” (243 h).",
                "82 % of the stems planted are alive (between ",
                " %, from 8 plots).",
                "AUD 88,970 of 90,500 is spent.",
                "Saved to carry the drilling on the fence line, as the fund agreed in September 2025.",
                "What could change an answer",
                "What becomes of the AUD 1,530 that is not spent.",
                "to be signed by Ruth Okafor, treasurer",
            ][..],
        ),
        (
            "tussock-fold",
            &[
                "Of eight targets that are due, ",
                "The works log has 1,100 m of fence put up, the map 1,403 m of new fence: 21.6 % apart.",
                "no reason given",
                "What follows from “Nine in ten stems alive in the gully”, which is not met.",
                "to be signed by Hēmi Winterburn, director",
            ][..],
        ),
    ] {
        let proofs = set(sample);
        let pages = tight(&named(&proofs, "acquittal.pdf").pages[..2].concat());
        for answer in answers {
            assert!(
                pages.contains(&tight(answer)),
                "{sample}: `{answer}` does not stand on the first two pages"
            );
        }
    }
}
