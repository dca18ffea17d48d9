//! What templates may not do, and how one that fails says so.

use std::{fs, path::Path};

use hillfolio_core::ledger;
use hillfolio_documents::{
    draw,
    typeset::{Document, Engine, ReportInputs, TypesettingError},
};

use super::matter;

/// Evaluation of text, the clock, packages from elsewhere, reading of files, and arithmetic with figures.
const FORBIDDEN: [&str; 9] =
    ["eval(", "datetime.today", "@preview", "@local", "read(", "csv(", "json(", "calc.", "plugin("];

#[test]
fn templates_lay_out_and_do_nothing_else() {
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("../../report-templates")];
    let mut seen = 0;
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            // The code that embeds the templates lies beside them and may read.
            if path.extension().is_none_or(|ending| ending != "typ") {
                continue;
            }
            let text = fs::read_to_string(&path).unwrap();
            for word in FORBIDDEN {
                assert!(!text.contains(word), "{}: `{word}`", path.display());
            }
            seen += 1;
        }
    }
    assert!(seen > 10, "only {seen} templates were read");
}

fn with(overrides: &[(&str, &str)]) -> Result<usize, TypesettingError> {
    let project = matter::full();
    let ledger = ledger::fill(&project);
    let sheets = draw::Sheets::default();
    let matter = ReportInputs {
        plan: None,
        project: &project,
        ledger: &ledger,
        cells: None,
        sheets: &sheets,
        pictures: &[],
        problems: &[],
        records: &ledger::files(&ledger, &project, &[], "0.0.0").unwrap(),
        version: "0.0.0",
    };
    let overrides: Vec<(String, String)> =
        overrides.iter().map(|&(path, text)| (path.to_owned(), text.to_owned())).collect();
    Engine::new(&overrides).proofs(&matter, &Document::ALL).map(|proofs| proofs[0].pages.len())
}

#[test]
fn a_template_of_the_users_own_stands_in_for_ours() {
    let own = "#set document(title: sys.inputs.data.meta.title)\n#sys.inputs.data.cover.name";
    assert_eq!(with(&[("acquittal.typ", own)]), Ok(1));
}

#[test]
fn a_failing_template_says_where_and_what() {
    let wrong = "#set document(title: \"x\")\n\n  #let f() = sys.inputs.data.nothing\n#f()";
    let failure = with(&[("acquittal.typ", wrong)]).unwrap_err();
    assert_eq!(failure.document, "acquittal.pdf");
    let diagnostic = &failure.diagnostics[0];
    let spot = diagnostic.spot.as_ref().unwrap();
    assert_eq!((spot.template.as_str(), spot.line), ("/acquittal.typ", 3));
    assert!(diagnostic.message.contains("nothing"), "{diagnostic}");
    assert!(diagnostic.trace[0].contains("/acquittal.typ:4"), "{diagnostic}");
}

#[test]
fn a_template_reaches_neither_the_disk_nor_a_package() {
    for reach in ["#read(\"/etc/passwd\")", "#image(\"../../secret.png\")", "#import \"@preview/x:0.1.0\": y"]
    {
        let failure = with(&[("acquittal.typ", reach)]).unwrap_err();
        assert!(!failure.diagnostics.is_empty(), "{reach}");
    }
}
