//! The documents, set from the small project and from hostile, large and empty ones.

mod matter;
mod offset;
mod samples;
mod templates;

use std::{env, fs, path::Path};

use hillfolio_core::{
    estimate::{Method, erosion::SITE_NOTES},
    ledger::{self, Entry, Filled, Ledger},
    problem::{Grade, Problem},
    project::{Paper, Project},
};
use hillfolio_documents::{
    draw,
    typeset::{Document, Engine, Proof, ReportInputs},
};

/// Sets every document. With `PROOFS=DIR` in the environment the files are also written there, to be looked at.
fn set(name: &str, project: &Project, problems: &[Problem]) -> (Vec<Proof>, Ledger) {
    let filled = ledger::fill_but_plan(project);
    (set_from(name, project, problems, &filled), filled.ledger)
}

/// The same from a ledger of its own.
fn set_from(name: &str, project: &Project, problems: &[Problem], filled: &Filled) -> Vec<Proof> {
    let sheets = draw::sheets(project, None, filled);
    let pictures = matter::pictures(project);
    let records = ledger::files(&filled.ledger, project, problems, "0.0.0").unwrap();
    let matter = ReportInputs {
        plan: None,
        project,
        ledger: &filled.ledger,
        cells: filled.cells.as_ref(),
        sheets: &sheets,
        pictures: &pictures,
        problems,
        records: &records,
        version: "0.0.0",
    };
    let proofs = match Engine::new(&[]).proofs(&matter, &Document::ALL) {
        Ok(proofs) => proofs,
        Err(failure) => panic!("{failure}"),
    };
    for proof in &proofs {
        if let Ok(folder) = env::var("PROOFS") {
            let path = Path::new(&folder).join(name).join(&proof.name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, &proof.bytes).unwrap();
        }
        // Among them are words that would be cut off at the edge of the paper.
        assert!(proof.warnings.is_empty(), "{name} {}: {:?}", proof.name, proof.warnings);
        assert!(!proof.pages.concat().contains("NaN"), "{name} {}", proof.name);
    }
    proofs
}

/// Words without any space, so that a break of a line does not matter.
fn tight(text: &str) -> String {
    text.chars().filter(|letter| !letter.is_whitespace() && *letter != '\u{200b}').collect()
}

fn all(proof: &Proof) -> String {
    tight(&proof.pages.concat())
}

/// The words of the report and of the workings behind it.
fn report_and_workings(proofs: &[Proof], report: &str) -> String {
    let words = |name: &str| all(proofs.iter().find(|proof| proof.name == name).unwrap());
    words(report) + &words("workings.pdf")
}

fn holds(bytes: &[u8], words: &str) -> bool {
    bytes.windows(words.len()).any(|window| window == words.as_bytes())
}

#[test]
fn every_section_is_set_and_every_figure_is_in_the_index() {
    let project = matter::full();
    let doubts = matter::doubts();
    let (proofs, ledger) = set("full", &project, &doubts);
    let text = report_and_workings(&proofs, "acquittal.pdf");
    let has = |words: &str| assert!(text.contains(&tight(words)), "`{words}` is not on paper");
    for heading in [
        "What was promised and what there is",
        "Money, doubts and decisions",
        "To be decided and signed",
        "In this report",
        "Why each target stands as it does",
        "What was done",
        "Species planted and found alive",
        "What the survey shows",
        "Money",
        "In our own words",
        "Photo points",
        "Before anyone works on this ground",
        "Declaration",
        "Evidence register",
        "Data notes",
        "How each figure was worked out",
        "Input files",
    ] {
        has(heading);
    }
    for (id, entry) in ledger.iter() {
        has(id.as_str());
        match entry {
            Entry::Figure(figure) => {
                has(&figure.text());
                has(&figure.interval_text().unwrap_or_default());
                has(figure.method.title());
                has(&figure.method.equation());
                figure.sources.printed().for_each(|(file, rows)| has(&format!("{file}: {rows}")));
            }
            Entry::Missing(missing) => has(&missing.reason[1..]),
        }
    }
    for judged in &ledger.targets {
        has(judged.target.words.as_ref().unwrap());
        has(judged.standing.words());
        has(&judged.because[1..]);
    }
    for doubt in doubts.iter().filter(|doubt| doubt.grade() == Grade::Doubt) {
        // What a terminal marks by backticks stands in quotes on paper.
        let says = doubt.kind.to_string();
        let quoted = says.split('`').enumerate().fold(String::new(), |so_far, (at, part)| match at {
            0 => part.to_owned(),
            at if at % 2 == 1 => so_far + "“" + part,
            _ => so_far + "”" + part,
        });
        has(&quoted.chars().skip(1).collect::<String>());
    }
    assert!(!text.contains("notUTF-8"), "a remark stays on the console");
    for input in &project.inputs {
        has(&input.sha256[..16]);
    }
}

#[test]
fn pairs_show_the_earliest_and_the_latest_picture_of_the_period() {
    let (proofs, _) = set("full", &matter::full(), &[]);
    let text = all(&proofs[0]);
    assert!(text.contains(&tight("5 July 2025. Bare after the last grazing")));
    assert!(text.contains(&tight("21 June 2026. Wattles through their guards")));
    assert!(
        !text.contains(&tight("After the end of the period")),
        "a picture taken after the period is shown"
    );
    assert!(text.contains(&tight(
        "Looking to 210° (true). 4 months apart. The two were taken at different times of the year"
    )));
    assert!(text.contains("Nolaterpictureyet."));
}

#[test]
fn every_page_says_whose_it_is_and_which_it_is() {
    let (proofs, _) = set("full", &matter::full(), &[]);
    let pages = &proofs[0].pages;
    for (at, page) in pages.iter().enumerate() {
        let foot = format!("page {} of {}", at + 1, pages.len());
        assert!(page.contains(&foot), "{foot}");
        assert!(tight(page).contains("BrindleSpur·BS-2025·1July2025to30June2026"), "page {}", at + 1);
    }
}

#[test]
fn the_files_say_what_they_are_and_carry_their_faces() {
    let (proofs, _) = set("full", &matter::full(), &[]);
    assert_eq!(proofs[0].name, "acquittal.pdf");
    assert!(proofs.iter().any(|proof| proof.name == "maps/site-map.pdf"));
    for proof in &proofs {
        // Those that carry the data they came from with them are part 3.
        let carries = ["acquittal.pdf", "offset.pdf", "workings.pdf"].contains(&proof.name.as_str());
        let part = if carries { "<pdfaid:part>3<" } else { "<pdfaid:part>2<" };
        for words in
            ["%PDF-1.7", part, "<pdfuaid:part>1<", "/Lang(en-AU)", "/FontFile3", "/Marked true", "/Outlines"]
        {
            assert!(holds(&proof.bytes, words), "{} lacks {words}", proof.name);
        }
        assert!(holds(&proof.bytes, "2026-06-30"), "{} bears another day", proof.name);
    }
    assert!(holds(&proofs[0].bytes, "figures.json") && holds(&proofs[0].bytes, "figures.csv"));
}

#[test]
fn hostile_text_comes_out_as_typed() {
    let (proofs, _) = set("hostile", &matter::hostile(), &[]);
    let text = all(&proofs[0]);
    for nasty in matter::NASTY {
        assert!(text.contains(&tight(nasty)), "`{nasty}` is not on paper");
    }
    assert!(text.contains(&matter::long_name()), "a name of three hundred letters is cut");
    assert!(text.contains("□□□□"), "what has no glyph is not a box");
    assert!(!text.contains('森'));
}

#[test]
fn a_long_table_repeats_its_head_and_loses_no_row() {
    let (proofs, _) = set("large", &matter::large(), &[]);
    let heads = proofs[0]
        .pages
        .iter()
        .filter(|page| tight(page).contains(&tight("Provenance, supplier, stock")))
        .count();
    assert!(heads >= 5, "the head stands on {heads} pages");
    let text = all(&proofs[0]);
    for n in 0..200 {
        assert!(
            text.contains(&format!("Genus{n:03}epithetCommonname{n}")),
            "species {n} is not in the table"
        );
    }
}

#[test]
fn a_folder_of_boundaries_alone_makes_a_document_that_says_what_is_missing() {
    let (proofs, _) = set("empty", &matter::empty(), &[]);
    let text = all(&proofs[0]);
    assert!(text.contains(&tight("there is no plantings table")));
    assert!(text.contains(&tight("No survey of plots stands in the folder")));
    assert!(!text.contains(&tight("Cash by line")));
}

#[test]
fn letter_paper_holds_everything_too() {
    let mut project = matter::full();
    project.identity.paper = Paper::Letter;
    let (proofs, _) = set("letter", &project, &matter::doubts());
    assert!(holds(&proofs[0].bytes, "/MediaBox[0 0 612 792]"));
}

#[test]
fn one_thread_and_eight_give_the_same_bytes() {
    let pool = |threads| rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
    let once = || set("full", &matter::full(), &matter::doubts()).0;
    let (one, eight) = (pool(1).install(once), pool(8).install(once));
    assert!(one == eight, "the bytes depend on the number of threads");
}

#[test]
fn the_ground_is_shown_with_its_cautions() {
    let project = crate::support::on_a_hill::on_a_hill();
    let filled = crate::support::on_a_hill::filled(&project);
    let proofs = set_from("hill", &project, &[], &filled);
    let text = report_and_workings(&proofs, "acquittal.pdf");
    let has = |words: &str| assert!(text.contains(&tight(words)), "`{words}` is not on paper");
    for words in [
        "Slope map",
        "Soil loss before and now",
        "Hectares by slope class",
        "What went into the soil loss",
        "Rain in the period",
        "Follow the limit in your machine’s own manual",
        "rough ground, wet grass, holes and loads lower every limit",
        "are for a geotechnical engineer to judge",
        "12° and 15° are common practice without a source",
        "They are no credits, no certificate and no engineering advice",
        "17 of 365 days have no reading",
        Method::EROSIVITY_GIVEN.title(),
        &Method::COVER_FACTOR.assumptions(),
    ] {
        has(words);
    }
    SITE_NOTES.iter().for_each(|note| has(note));
    for (id, entry) in filled.ledger.iter() {
        if let Entry::Figure(figure) = entry
            && ["terrain.", "erosion.", "rain."].iter().any(|stem| id.as_str().starts_with(stem))
        {
            has(&figure.number_text());
        }
    }
    // Two figures, and "under 1" where twin plots differ by more than their mean.
    has("under 1");
    assert!(!text.contains("21.6"), "soil loss to three figures");
    assert!(proofs.iter().any(|proof| proof.name == "maps/slope-map.pdf"));
}

#[test]
fn slopes_read_with_a_clinometer_are_enough_for_the_section() {
    let mut project = crate::support::small_project();
    let (proofs, _) = set("slopes", &project, &[]);
    let text = all(&proofs[0]);
    assert!(text.contains(&tight("From slopes read with a clinometer")));
    assert!(
        !text.contains(&tight("Hectares by slope class"))
            && !text.contains(&tight("What went into the soil loss"))
    );
    project.slopes.clear();
    let (proofs, _) = set("no-ground", &project, &[]);
    assert!(!all(&proofs[0]).contains(&tight("The ground Table")));
    assert!(
        !all(&proofs[0]).contains(&tight("Machines on slopes")),
        "the section is there without anything in it"
    );
}

/// Sites wide and tall: each map, with its heading and its caption, takes one page and no more.
#[test]
fn maps_of_the_ground_fit_their_pages_whatever_the_site_looks_like() {
    for (name, width, height) in [("wide", 0.009, 0.0012), ("tall", 0.0012, 0.008)] {
        let mut project = crate::support::on_a_hill::on_a_hill();
        project.areas.truncate(1);
        let (lon, lat) = (148.001 - width / 2.0, -35.9999 - height / 2.0);
        project.areas[0].boundary = crate::support::oblong(lon, lat, width, height);
        let filled = crate::support::on_a_hill::filled(&project);
        let proofs = set_from(name, &project, &[], &filled);
        for map in ["maps/slope-map.pdf", "maps/soil-loss-map.pdf"] {
            let proof = proofs.iter().find(|proof| proof.name == map).unwrap();
            assert_eq!(proof.pages.len(), 1, "{name} {map}");
        }
    }
}
