//! Folders as they are handed to whoever keeps the figures of several groups: two looks are enough, by what is printed alone.

use std::{fs, path::Path};

use crate::{
    commands::{copy, hillfolio},
    followed::followed,
    pasted::{chosen, proposed},
};

#[test]
fn every_folder_builds_after_one_round_of_pasting() {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program/coordinator");
    let truth: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(tests.join("truth.json")).unwrap()).unwrap();
    let mut wrong = Vec::new();
    for (name, figures) in truth.as_object().unwrap() {
        let dir = tempfile::tempdir().unwrap();
        copy(&tests.join(name), dir.path());
        let said = hillfolio().arg("check").arg(dir.path()).output().unwrap();
        let mut lines = proposed(&String::from_utf8(said.stdout).unwrap());
        // What is left open stands behind a #, to be chosen.
        for choice in figures["choose"].as_array().into_iter().flatten() {
            lines = chosen(&lines, choice.as_str().unwrap());
        }
        let settings = dir.path().join("project.toml");
        let own = fs::read_to_string(&settings).unwrap();
        fs::write(&settings, followed(&own, &lines)).unwrap();
        let ledger = match hillfolio::check(dir.path()) {
            Ok(intake) => hillfolio_core::ledger::fill(&intake.project),
            Err(problems) => panic!("{name}: {problems:#?}"),
        };
        for (id, expected) in figures.as_object().unwrap().iter().filter(|(id, _)| *id != "choose") {
            let expected = expected.as_f64().unwrap();
            let found = ledger.figure(id).map(|figure| figure.value);
            if found.is_none_or(|found| (found - expected).abs() > 1e-9 * expected.abs()) {
                wrong.push(format!("{name}: {id}: {found:?}, not {expected}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
