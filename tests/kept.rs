//! Files that other people keep, unchanged, in folders of which only the settings and the little beside them were written here.
//! What comes of each is held against figures that other tools worked out (pandas; a sum by `awk` or Python's `csv`), see
//! `tests/program/kept/truth`. Source and licence of each file stand in its folder's README.
#![allow(clippy::unwrap_used, clippy::panic, clippy::disallowed_methods, reason = "a test may stop at once")]

use std::{
    fs,
    path::{Path, PathBuf},
};

use hillfolio_core::{
    intake::{self, Folder},
    ledger,
    problem::Grade,
    source::sha256,
};
use serde_json::Value;

fn kept() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/program/kept")
}

/// Every folder, by its name.
fn folders() -> Vec<(String, PathBuf)> {
    let entries = fs::read_dir(kept()).unwrap().map(|entry| entry.unwrap().path());
    let named = |path: PathBuf| (path.file_name().unwrap().to_str().unwrap().to_owned(), path);
    let mut folders: Vec<_> = entries.filter(|path| path.join("project.toml").is_file()).map(named).collect();
    folders.sort();
    folders
}

fn truth(name: &str) -> Option<Value> {
    let text = fs::read_to_string(kept().join("truth").join(format!("{name}.json"))).ok()?;
    Some(serde_json::from_str(&text).unwrap())
}

/// What the folder gives: its figures, or its errors by code.
fn read(path: &Path) -> Result<ledger::Ledger, Vec<String>> {
    let folder = Folder::open(path).unwrap();
    match intake::read(&folder, &|_| true) {
        Ok(read) => Ok(ledger::fill(&read.project)),
        Err(problems) => Err(problems
            .iter()
            .filter(|problem| problem.grade() == Grade::Error)
            .map(|problem| format!("{} at {}: {}", problem.kind.code(), problem.place, problem.kind))
            .collect()),
    }
}

#[test]
fn every_figure_is_the_one_that_others_work_out() {
    let (mut wrong, mut held) = (Vec::new(), 0);
    for (name, path) in folders() {
        let Some(truth) = truth(&name) else { continue };
        let ledger = match read(&path) {
            Ok(ledger) => ledger,
            Err(errors) => {
                wrong.push(format!("{name}: {}", errors.join("; ")));
                continue;
            }
        };
        let tolerance = truth["tolerance"].as_f64().unwrap_or(1e-6);
        for (id, value) in truth["figures"].as_object().into_iter().flatten() {
            let (value, figure) = (value.as_f64().unwrap(), ledger.figure(id).map(|figure| figure.value));
            held += 1;
            if figure.is_none_or(|figure| (figure - value).abs() > tolerance * value.abs().max(1e-9)) {
                wrong.push(format!("{name}: {id} is {figure:?}, should be {value}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(held >= 60, "{held}");
}

/// Days that a bank blackened are no days: one error, and not one a row.
#[test]
fn what_can_not_be_read_is_said_once() {
    let errors = read(&kept().join("bank-blackened")).err().unwrap();
    assert_eq!(errors.len(), 1, "{errors:?}");
    assert!(errors[0].starts_with("column-misread at"), "{errors:?}");
}

/// A file that was touched would prove nothing. The README of each folder tells its sum.
#[test]
fn no_real_file_was_touched() {
    for (name, path) in folders() {
        let readme = fs::read_to_string(path.join("README.md")).unwrap();
        let file = readme.split('`').nth(1).unwrap();
        let sum = readme.split("SHA-256 ").nth(1).unwrap().get(..64).unwrap();
        assert_eq!(sha256(&fs::read(path.join(file)).unwrap()), sum, "{name}: {file}");
    }
}
