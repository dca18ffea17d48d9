//! A folder as a person would have it builds in two rounds, with the lines that the first check proposes.

use std::{fs, path::Path};

use crate::{
    commands::{copy, hillfolio},
    pasted::chosen,
};

/// What parts the messages of a check from the lines that they propose together.
pub(crate) const PROPOSED: &str = "\nproposed above, together, for project.toml";

fn tests(path: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program").join(path)
}

/// The folder with its photos and its terrain tile.
pub(crate) fn folder() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    copy(&tests("person/folder"), dir.path());
    copy(&tests("as-kept/photos"), &dir.path().join("photos"));
    fs::copy(tests("as-kept/terrain.asc"), dir.path().join("west tile.asc")).unwrap();
    dir
}

fn check(dir: &Path, code: i32) -> String {
    let said = hillfolio().arg("check").arg(dir).assert().code(code);
    String::from_utf8(said.get_output().stdout.clone()).unwrap()
}

/// Every file of the folder but the settings, with its bytes.
pub(crate) fn files(dir: &Path) -> Vec<(String, Vec<u8>)> {
    let folder = hillfolio_core::intake::Folder::open(dir).unwrap();
    let others = folder.files().iter().filter(|file| *file != "project.toml");
    others.map(|file| (file.clone(), fs::read(dir.join(file)).unwrap())).collect()
}

#[test]
fn it_builds_in_two_rounds_by_the_lines_that_are_proposed() {
    let dir = folder();
    let before = files(dir.path());
    assert_eq!(before.iter().filter(|(file, _)| file.to_lowercase().ends_with(".heic")).count(), 10);

    // The first round: everything is asked, also what rests on other answers.
    let said = check(dir.path(), 1);
    let (messages, proposed) = said.split_once(PROPOSED).unwrap();
    let (_, lines) = proposed.split_once('\n').unwrap();
    // A name that two species bear is the person's to say: the other of the two, as the message has it.
    let other = "\"Green wattle\" = \"Acacia irrorata\"";
    assert!(messages.contains(other), "{messages}");
    let taken = chosen(lines, other);
    let settings = dir.path().join("project.toml");
    let own = fs::read_to_string(&settings).unwrap();
    fs::write(&settings, format!("{own}{taken}")).unwrap();

    // The second: nothing is left but what the report says of itself.
    let said = check(dir.path(), 0);
    assert!(said.contains("0 errors, 8 doubts") && !said.contains(PROPOSED), "{said}");
    hillfolio().arg("build").arg(dir.path()).assert().success();

    is_as_worked_out(dir.path());
    assert_eq!(files(dir.path()), before, "no file is touched");
}

/// Holds the ledger of the folder against the figures that were worked out without the program.
pub(crate) fn is_as_worked_out(dir: &Path) {
    let truth = fs::read_to_string(tests("person/truth.json")).unwrap();
    let truth: serde_json::Value = serde_json::from_str(&truth).unwrap();
    let ledger = hillfolio_core::ledger::fill(&hillfolio::check(dir).unwrap().project);
    let mut wrong = Vec::new();
    for (id, expected) in truth.as_object().unwrap() {
        let expected = expected.as_f64().unwrap();
        match ledger.figure(id) {
            Some(figure) if (figure.value - expected).abs() <= 1e-9 * expected.abs() => {}
            found => wrong.push(format!("{id}: {:?}, not {expected}", found.map(|figure| figure.value))),
        }
    }
    assert!(wrong.is_empty() && truth.as_object().unwrap().len() >= 30, "{}", wrong.join("\n"));
}

#[test]
fn what_is_proposed_stands_in_a_message_each() {
    let said = check(folder().path(), 1);
    let (messages, proposed) = said.split_once(PROPOSED).unwrap();
    let helps: String = messages.lines().map(|line| format!("{}\n", line.trim())).collect();
    // Of a line that gathers several, each part stands in a message.
    let quoted = |line: &str| line.split('"').skip(1).step_by(2).map(str::to_owned).collect::<Vec<_>>();
    for line in proposed.lines().skip(2).filter(|line| !line.is_empty() && !line.starts_with('#')) {
        let whole = helps.contains(&format!("{line}\n"));
        assert!(whole || quoted(line).iter().all(|text| helps.contains(&format!("\"{text}\""))), "{line}");
    }
}
