//! What `check` passes, `build` builds and `verify` verifies; what it refuses, it refuses in words.

use std::{fs, path::Path};

use crate::{
    broken::laid_out,
    commands::{copy, hillfolio},
};

fn sample(name: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-projects").join(name), folder.path());
    drop(fs::remove_dir_all(folder.path().join("out")));
    folder
}

/// Checks, builds and verifies a folder that must pass.
fn passes(folder: &Path) {
    let out = tempfile::tempdir().unwrap();
    hillfolio().arg("check").arg(folder).assert().code(0);
    hillfolio().args(["--quiet", "build"]).arg(folder).arg("--out").arg(out.path()).assert().code(0);
    let entries = fs::read_dir(out.path()).unwrap().map(|entry| entry.unwrap().path());
    let pack =
        entries.into_iter().find(|path| path.extension().is_some_and(|ending| ending == "zip")).unwrap();
    hillfolio().args(["--quiet", "verify"]).arg(pack).assert().code(0);
}

/// A phone writes a narrow space before `PM`, another the name of the place in its own script: neither is in the documents' fonts.
#[test]
fn a_photo_is_printed_whatever_its_name_is_written_in() {
    let folder = sample("tussock-fold");
    let point = folder.path().join("photos/T2");
    let mut photos: Vec<_> = fs::read_dir(&point).unwrap().map(|entry| entry.unwrap().path()).collect();
    photos.sort();
    fs::rename(&photos[0], point.join("2024-06-01 at 3.04.05\u{202f}PM.jpg")).unwrap();
    fs::rename(&photos[photos.len() - 1], point.join("2025-11-20 山の斜面.jpg")).unwrap();
    passes(folder.path());
}

#[test]
fn a_row_of_very_many_cells_is_refused_in_words() {
    let folder = laid_out(Path::new("tests/program/broken/base"));
    let plots = folder.path().join("plots.csv");
    let text = fs::read_to_string(&plots).unwrap();
    fs::write(&plots, text.trim_end().to_owned() + &",".repeat(70_000) + "end\n").unwrap();
    let check = hillfolio().arg("check").arg(folder.path()).output().unwrap();
    let said = String::from_utf8(check.stdout).unwrap();
    assert_eq!(check.status.code(), Some(1), "{said}");
    assert!(said.contains("the row has 70008 cells, the header 8"), "{said}");
    assert!(said.lines().all(|line| line.chars().count() < 300), "{said}");
}
