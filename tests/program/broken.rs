//! One broken folder for each thing that can be wrong, and the words that it must give.
//!
//! A folder under `broken/` holds only what differs from `broken/base/`: files of its own, and `NAME.absent` for a file that
//! is not there. `expected.txt` is what `check` prints; `BLESS=1 cargo test` writes it anew, and the diff is then to be read.

use std::{
    collections::BTreeSet,
    env, fs,
    path::{Path, PathBuf},
};

use hillfolio_core::problem::Kind;
use tempfile::TempDir;

use crate::{
    agreements,
    commands::{copy, hillfolio},
    silent,
};

fn tests() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program")
}

/// A copy of the base with the changes of `case` laid over it.
pub(crate) fn laid_out(case: &Path) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    copy(&tests().join("broken/base"), folder.path());
    copy(case, folder.path());
    for file in below(folder.path()) {
        if let Some(absent) = file.to_str().unwrap().strip_suffix(".absent") {
            fs::remove_file(&file).unwrap();
            fs::remove_file(absent).unwrap();
        }
    }
    drop(fs::remove_file(folder.path().join("expected.txt")));
    folder
}

fn below(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    entries.flat_map(|path| if path.is_dir() { below(&path) } else { vec![path] }).collect()
}

fn cases(of: &str) -> Vec<PathBuf> {
    let mut cases: Vec<PathBuf> =
        fs::read_dir(tests().join(of)).unwrap().map(|entry| entry.unwrap().path()).collect();
    cases.retain(|case| case.is_dir() && case.file_name().unwrap() != "base");
    cases.sort();
    assert!(!cases.is_empty());
    cases
}

/// What `check` prints of a folder, and its exit code.
fn said(folder: &Path) -> (String, i32) {
    let check = hillfolio().args(["check".as_ref(), folder.as_os_str()]).output().unwrap();
    let said = String::from_utf8(check.stdout).unwrap();
    assert!(check.stderr.is_empty(), "{}", String::from_utf8_lossy(&check.stderr));
    (said.replace(folder.to_str().unwrap(), "FOLDER"), check.status.code().unwrap())
}

#[test]
fn every_broken_folder_gives_its_words() {
    let bless = env::var_os("BLESS").is_some();
    let mut wrong = Vec::new();
    for case in cases("broken") {
        let name = case.file_name().unwrap().to_str().unwrap().to_owned();
        let (said, code) = said(laid_out(&case).path());
        let errors = said.contains("error[");
        assert_eq!(code, i32::from(errors), "{name}: exit code {code}\n{said}");
        let expected = case.join("expected.txt");
        if bless {
            fs::write(&expected, &said).unwrap();
        }
        if fs::read_to_string(&expected).unwrap_or_default() != said {
            wrong.push(format!("{name}:\n{said}"));
        }
        assert!(!said.starts_with("0 errors, 0 doubts, 0 remarks"), "{name} gives no word");
    }
    assert!(wrong.is_empty(), "{} broken folders say something else now:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn the_base_itself_and_whatever_real_spreadsheets_hold_is_read_without_a_word() {
    let clean = "0 errors, 0 doubts, 0 remarks\n";
    assert_eq!(said(laid_out(&tests().join("broken/base")).path()).0, clean);
    for case in cases("tolerated") {
        let (said, code) = said(laid_out(&case).path());
        assert_eq!((said.as_str(), code), (clean, 0), "{}", case.display());
    }
}

/// Kinds that no file in a repository can show; each has a test of its own beside its code or below.
const ELSEWHERE: [&str; 9] = [
    // of a list that is no file of the folder: `answers.rs`
    "no-answers",
    "folder-unreadable",
    "file-unreadable",
    "file-too-big",
    "name-unreadable",
    "no-plain-file",
    "too-many-corners",
    "too-many-shapes",
    "unpacks-too-big",
];

#[test]
fn every_kind_of_problem_has_a_broken_folder() {
    let codes: BTreeSet<&str> = Kind::codes().collect();
    assert_eq!(codes.len(), Kind::codes().count(), "two kinds have one code");
    assert!(codes.len() > 80, "{codes:?}");
    let shown: String =
        cases("broken").iter().map(|case| fs::read_to_string(case.join("expected.txt")).unwrap()).collect();
    let unshown: Vec<&&str> = codes
        .iter()
        .filter(|code| !ELSEWHERE.contains(code) && !shown.contains(&format!("[{code}]")))
        .filter(|code| !silent::codes().chain(agreements::codes()).any(|shown| shown == **code))
        .collect();
    assert!(unshown.is_empty(), "no broken folder shows {unshown:?}");
}

#[cfg(unix)]
#[test]
fn a_link_out_of_the_folder_is_not_followed() {
    let folder = laid_out(&tests().join("broken/base"));
    let outside = tempfile::tempdir().unwrap();
    fs::write(outside.path().join("stems.csv"), "date,plot,species\n").unwrap();
    fs::remove_file(folder.path().join("stems.csv")).unwrap();
    std::os::unix::fs::symlink(outside.path().join("stems.csv"), folder.path().join("stems.csv")).unwrap();
    let (said, code) = said(folder.path());
    assert!(said.contains("[path-leaves-folder]") && code == 1, "{said}");
}

/// A pipe that nobody fills, in the folder and as a pack.
#[cfg(unix)]
#[test]
fn a_pipe_is_named_and_never_waited_for() {
    use rustix::fs::{CWD, FileType, Mode, mknodat};
    let folder = laid_out(&tests().join("broken/base"));
    let pipe = |name: &str| {
        let path = folder.path().join(name);
        drop(fs::remove_file(&path));
        mknodat(CWD, &path, FileType::Fifo, Mode::RUSR | Mode::WUSR, 0).unwrap();
        path
    };
    let pack = pipe("stems.csv");
    let (words, code) = said(folder.path());
    assert!(words.contains("doubt[no-plain-file]: this is neither a file nor a folder; left out"), "{words}");
    assert!(words.contains("stems.csv") && code == 0, "{words}");
    for order in [
        vec!["verify".as_ref(), pack.as_os_str()],
        vec!["compare".as_ref(), pack.as_os_str(), pack.as_os_str()],
    ] {
        let run = hillfolio().args(order).timeout(std::time::Duration::from_secs(60)).assert().code(3);
        let words = String::from_utf8_lossy(&run.get_output().stderr).into_owned();
        assert!(words.contains("it is neither a file nor a folder"), "{words}");
    }
    pipe("plantings.csv");
    pipe("areas.geojson");
    let (words, code) = said(folder.path());
    assert!(words.contains("the same 3 times: areas.geojson, plantings.csv, stems.csv"), "{words}");
    assert_eq!((words.matches("error[file-missing]").count(), code), (2, 1), "{words}");
}

#[test]
fn a_file_too_big_is_refused_before_it_is_read() {
    for (path, bytes) in [
        ("stems.csv", 1 << 30),
        ("areas.geojson", 1 << 30),
        ("project.toml", 3 << 20),
        ("narrative/1.md", 3 << 20),
        ("photos/P1/2025-08-01.jpg", 1 << 30),
        ("terrain.asc", 3 << 30),
        ("terrain.tif", 3 << 30),
        ("receipts/R1.pdf", 1 << 30),
    ] {
        let folder = laid_out(&tests().join("broken/base"));
        let spending = fs::read_to_string(folder.path().join("spending.csv")).unwrap();
        fs::write(folder.path().join("spending.csv"), spending.replace(",R1,", ",R1.pdf,")).unwrap();
        fs::create_dir_all(folder.path().join(path).parent().unwrap()).unwrap();
        // A hole takes no room on the disk.
        fs::File::create(folder.path().join(path)).unwrap().set_len(bytes).unwrap();
        let (said, code) = said(folder.path());
        assert!(said.contains("[file-too-big]") && said.contains(path) && code == 1, "{path}: {said}");
    }
}

#[test]
fn more_files_than_are_listed_are_refused() {
    let folder = laid_out(&tests().join("broken/base"));
    fs::create_dir(folder.path().join("receipts")).unwrap();
    for number in 0..50_001 {
        fs::File::create(folder.path().join(format!("receipts/{number}"))).unwrap();
    }
    let (said, code) = said(folder.path());
    assert!(
        said.contains("[folder-unreadable]") && said.contains("more than 50000 files") && code == 1,
        "{said}"
    );
}

#[test]
fn more_areas_than_are_held_against_one_another_are_refused() {
    let folder = laid_out(&tests().join("broken/base"));
    let square = |at: usize| {
        format!(
            r#"{{"type":"Feature","properties":{{"area":"A{at}"}},"geometry":{{"type":"Polygon","coordinates":[[[148,-36],[148.001,-36],[148.001,-35.999],[148,-36]]]}}}}"#
        )
    };
    let layer = |shapes: usize| {
        let shapes: Vec<String> = (0..shapes).map(square).collect();
        format!(r#"{{"type":"FeatureCollection","features":[{}]}}"#, shapes.join(","))
    };
    for (file, shapes) in [("areas.geojson", 1_001), ("features.geojson", 50_001)] {
        let sound = fs::read(folder.path().join(file)).unwrap();
        fs::write(folder.path().join(file), layer(shapes)).unwrap();
        let (said, code) = said(folder.path());
        assert!(said.contains("[too-many-shapes]") && code == 1, "{file}: {said}");
        fs::write(folder.path().join(file), sound).unwrap();
    }
}

#[test]
fn a_boundary_of_too_many_corners_is_refused() {
    let folder = laid_out(&tests().join("broken/base"));
    let corner = |at: u32| {
        let angle = f64::from(at) / 250_000.0 * std::f64::consts::TAU;
        format!("[{},{}]", 148.0 + 0.01 * angle.cos(), -36.0 + 0.01 * angle.sin())
    };
    let ring: Vec<String> = (0..250_000).map(corner).collect();
    let layer = format!(
        r#"{{"type":"FeatureCollection","features":[{{"type":"Feature","properties":{{"area":"North"}},"geometry":{{"type":"Polygon","coordinates":[[{}]]}}}}]}}"#,
        ring.join(",")
    );
    fs::write(folder.path().join("areas.geojson"), layer).unwrap();
    let (said, code) = said(folder.path());
    assert!(said.contains("[too-many-corners]") && code == 1, "{said}");
}
