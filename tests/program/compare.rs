//! Two years beside one another, each as a pack, a folder or a ledger.

use std::{fs, path::Path};

use serde_json::Value;
use tempfile::TempDir;

use crate::{broken::laid_out, commands::hillfolio};

/// The base with a target that one plot can show to be probable.
fn base() -> TempDir {
    let folder = laid_out(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program/broken/base"));
    change(&folder, "project.toml", "at_least = 0.80", "at_least = 0.50");
    folder
}

fn change(folder: &TempDir, file: &str, from: &str, to: &str) {
    let path = folder.path().join(file);
    let text = fs::read_to_string(&path).unwrap();
    assert!(text.contains(from), "{file}: {from}");
    fs::write(path, text.replacen(from, to, 1)).unwrap();
}

/// The base a year on: more planted, fewer alive, a target turned.
fn year_on() -> TempDir {
    let folder = base();
    change(&folder, "tallies.csv", "Acacia melanoxylon,8,2", "Acacia melanoxylon,0,10");
    change(
        &folder,
        "plantings.csv",
        "2025-08-02,South",
        "2025-08-02,South,Acacia melanoxylon,50,tubestock,B3,,\n2025-08-02,South",
    );
    folder
}

fn compared(then: &Path, now: &Path, code: i32) -> (String, Value) {
    let text = hillfolio().arg("compare").args([then, now]).assert().code(code);
    let json = hillfolio().arg("compare").args([then, now]).arg("--json").assert().code(code);
    let said = String::from_utf8(text.get_output().stdout.clone()).unwrap();
    (said, serde_json::from_slice(&json.get_output().stdout).unwrap())
}

#[test]
fn what_changed_is_said_once_whatever_it_is_read_from() {
    let (then, now) = (base(), year_on());
    let (said, json) = compared(then.path(), now.path(), 1);
    for word in
        ["survival.all", "plantings.stems.all", "intervals overlap", "survival-y1:", "plantings.csv: 2 → 3"]
    {
        assert!(said.contains(word), "`{word}` is not in:\n{said}");
    }
    let survival =
        json["changed"].as_array().unwrap().iter().find(|change| change["id"] == "survival.all").unwrap();
    assert!(
        survival["then"]["value"].as_f64().unwrap() > survival["now"]["value"].as_f64().unwrap(),
        "{survival}"
    );
    assert_eq!(json["tables"][0]["now"], 3);

    hillfolio().arg("-q").arg("build").arg(then.path()).args(["--only", "acquittal"]).assert().code(0);
    let out = then.path().join("out");
    let is_zip = |path: &std::path::PathBuf| path.extension().is_some_and(|ending| ending == "zip");
    let pack = fs::read_dir(&out).unwrap().map(|entry| entry.unwrap().path()).find(is_zip).unwrap();
    for same in [pack, out.join("data/figures.json"), out] {
        assert_eq!(compared(&same, now.path(), 1).1, json, "{}", same.display());
        let (said, json) = compared(&same, then.path(), 0);
        assert_eq!(json["changed"].as_array().unwrap().len(), 0, "{said}");
    }
}

#[test]
fn what_holds_no_figures_is_not_understood() {
    let (folder, other) = (base(), tempfile::tempdir().unwrap());
    let path = other.path().join("figures.json");
    for bytes in [&b"{}"[..], b"", b"PK\x03\x04", b"\xff\xfe"] {
        fs::write(&path, bytes).unwrap();
        hillfolio().arg("compare").args([folder.path(), &path]).assert().code(2);
    }
    fs::remove_file(&path).unwrap();
    hillfolio().arg("compare").args([folder.path(), &path]).assert().code(3);
    hillfolio().arg("compare").args([other.path(), folder.path()]).assert().code(2);
}
