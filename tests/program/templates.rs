//! Templates of the user's own: the built-in ones to start from, what they find, and the README's example.

use std::{env, fs, path::Path};

use serde_json::Value;

use crate::{
    commands::{hillfolio, sample},
    pdf::opened,
};
use hillfolio_documents::typeset;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The README's template as a folder of its own.
fn example() -> tempfile::TempDir {
    let readme = fs::read_to_string(root().join("README.md")).unwrap();
    let (_, rest) = readme.split_once("```typst\n").unwrap();
    let (text, _) = rest.split_once("```").unwrap();
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("acquittal.typ"), text).unwrap();
    folder
}

/// What `data` prints of a document, read.
fn found(arguments: &[&str]) -> Value {
    let folder = sample(arguments[0]);
    let all = ["data".as_ref(), folder.as_os_str()];
    let run = hillfolio().args(all).args(&arguments[1..]).assert().code(0);
    serde_json::from_slice(&run.get_output().stdout).unwrap()
}

#[test]
fn the_example_of_the_readme_sets_an_acquittal() {
    let (templates, out) = (example(), tempfile::tempdir().unwrap());
    let out = out.path().join("out");
    let folder = sample("brindle-spur");
    let paths = ["build".as_ref(), folder.as_os_str(), "--templates".as_ref(), templates.path().as_os_str()];
    hillfolio().args(paths).args(["--only", "acquittal", "--out"]).arg(&out).assert().code(0);
    let pdf = fs::read(out.join("acquittal.pdf")).unwrap();
    let drawn = opened(&pdf).words;
    // In the ledger's own words.
    let alive = &found(&["brindle-spur", "acquittal"])["data"]["figures"]["survival.all"];
    for part in ["label", "text", "interval"] {
        let told: String = alive[part].as_str().unwrap().split_whitespace().collect();
        assert!(drawn.iter().any(|words| words.contains(&told)), "{told} in {drawn:?}");
    }
}

/// `BLESS=1 cargo test` writes the page anew.
#[test]
fn the_page_on_what_templates_find_is_that_of_the_types() {
    let path = root().join("report-templates/FIELDS.md");
    let page = typeset::fields_page();
    if env::var_os("BLESS").is_some() {
        fs::write(&path, &page).unwrap();
    }
    assert!(fs::read_to_string(path).unwrap() == page, "run with BLESS=1 and read the diff");
}

/// Every field that a sample's tree has is named on the page, under its template.
#[test]
fn every_field_of_a_tree_is_on_the_page() {
    let page = typeset::fields_page();
    let documents = [
        ("brindle-spur", "acquittal"),
        ("brindle-spur", "plan"),
        ("ashlar-gap", "offset"),
        ("lantern-rise", "sources"),
    ];
    for (name, document) in documents {
        let tree = found(&[name, document]);
        let head = format!("## `{}`\n", tree["template"].as_str().unwrap());
        let (_, rest) = page.split_once(&head).unwrap();
        let fields = rest.split("\n## ").next().unwrap();
        for name in tree["data"].as_object().unwrap().keys().filter(|name| *name != "figures") {
            assert!(fields.contains(&format!("\n- `{name}` (")), "{document} has {name}");
        }
        assert!(tree["images"].as_array().is_some_and(|images| document == "sources" || !images.is_empty()));
    }
}

#[test]
fn the_templates_to_start_from_set_the_same_documents() {
    let home = tempfile::tempdir().unwrap();
    let (templates, folder) = (home.path().join("templates"), sample("brindle-spur"));
    hillfolio().args(["new", "--templates"]).arg(&templates).assert().code(0);
    assert!(templates.join("FIELDS.md").is_file() && templates.join("sections/front.typ").is_file());
    hillfolio().args(["new", "--templates"]).arg(&templates).assert().code(3);
    let built = |more: &[&Path], to: &str| {
        let out = home.path().join(to);
        let run = hillfolio()
            .args(["build".as_ref(), folder.as_os_str(), "--out".as_ref(), out.as_os_str()])
            .args(["--only", "acquittal"])
            .args(more)
            .assert();
        run.code(0);
        fs::read(out.join("acquittal.pdf")).unwrap()
    };
    let theirs = built(&[Path::new("--templates"), &templates], "theirs");
    assert!(built(&[], "ours") == theirs);
}

#[test]
fn a_document_of_an_agreement_is_asked_for_by_its_id() {
    let tree = found(&["lantern-rise", "acquittal", "--agreement", "council"]);
    assert!(tree["data"]["accounts"].is_object());
    let folder = sample("lantern-rise");
    let run = hillfolio()
        .args(["data".as_ref(), folder.as_os_str()])
        .args(["acquittal", "--agreement", "county"])
        .assert()
        .code(2);
    let said = String::from_utf8_lossy(&run.get_output().stderr).into_owned();
    assert_eq!(said, "no agreement is called `county`; there are: catchment, council, offset\n");
}
