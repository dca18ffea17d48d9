//! The commands as a user types them: what they print, what they write, how they end.

use std::{fs, path::Path, path::PathBuf};

use assert_cmd::Command;

/// The program, for which the user's own folders can't be made: nothing is kept between tests or left behind by them.
pub(crate) fn hillfolio() -> Command {
    let mut hillfolio = Command::new(assert_cmd::cargo::cargo_bin!("hillfolio"));
    let no_folder = concat!(env!("CARGO_MANIFEST_DIR"), "/Cargo.toml/none");
    hillfolio.env("HOME", no_folder).env("XDG_CACHE_HOME", no_folder);
    hillfolio
}

pub(crate) fn sample(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-projects").join(name)
}

/// A copy of a folder, without what a build left in it.
pub(crate) fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let (at, name) = (entry.path(), entry.file_name());
        match at.is_dir() {
            true if name == "out" => {}
            true => copy(&at, &to.join(name)),
            false => drop(fs::copy(&at, to.join(name)).unwrap()),
        }
    }
}

#[test]
fn a_new_folder_is_told_to_hold_examples_alone_builds_and_is_not_written_over() {
    let home = tempfile::tempdir().unwrap();
    let folder = home.path().join("my-hill");
    hillfolio().args(["new".as_ref(), folder.as_os_str()]).assert().code(0);
    let check = hillfolio().args(["check".as_ref(), folder.as_os_str()]).assert().code(0);
    let said = String::from_utf8_lossy(&check.get_output().stdout).into_owned();
    let told: Vec<&str> = said.lines().filter(|line| line.contains("]: ")).collect();
    assert!(told.len() > 3 && told.iter().all(|line| line.starts_with("doubt[starter-row]: ")), "{said}");
    hillfolio().args(["build".as_ref(), folder.as_os_str()]).assert().code(0);
    assert!(folder.join("out/acquittal.pdf").is_file());
    hillfolio().args(["new".as_ref(), folder.as_os_str()]).assert().code(3);
}

#[test]
fn every_setting_that_a_new_folder_explains_can_be_switched_on() {
    let home = tempfile::tempdir().unwrap();
    let folder = home.path().join("my-hill");
    hillfolio().args(["new".as_ref(), folder.as_os_str()]).assert().code(0);
    let settings = fs::read_to_string(folder.join("project.toml")).unwrap();
    // `# key = …` and `# [section]` are settings; every other comment is an explanation.
    let is_setting = |line: &str| {
        line.starts_with('[') || line.split_once(" = ").is_some_and(|(key, _)| !key.contains(' '))
    };
    let on = |line: &str| match line.strip_prefix("# ").filter(|bare| is_setting(bare)) {
        Some(bare) => format!("{bare}\n"),
        None => format!("{line}\n"),
    };
    let all: String = settings.lines().map(on).collect();
    assert!(all.contains("\naccent = ") && all.contains("\nsteepest_deg = "), "{all}");
    fs::write(folder.join("project.toml"), all).unwrap();
    let check = hillfolio().args(["check".as_ref(), folder.as_os_str()]).output().unwrap();
    let said = String::from_utf8(check.stdout).unwrap();
    let errors: Vec<&str> = said.lines().filter(|line| line.starts_with("error")).collect();
    // Mappings name books, and a name an area, that are not there; of two ways to say the slope classes, and those of cover, one must go.
    assert_eq!(errors.len(), 6, "{said}");
    for absent in ["Planting 2025.xlsx", "books/*.csv", "bank.csv", "Top Paddock"] {
        assert!(errors.iter().any(|error| error.contains(absent)), "{absent}: {said}");
    }
    assert!(said.contains("terrain.classes") && said.contains("survey.cover_scale"), "{said}");
}

#[test]
fn a_build_twice_over_gives_the_same_bytes_whatever_the_threads_and_the_folder() {
    for name in ["brindle-spur", "tussock-fold"] {
        let home = tempfile::tempdir().unwrap();
        let build = |folder: &str, threads: &str| {
            let folder = home.path().join(folder);
            copy(&sample(name), &folder);
            let order = ["build".as_ref(), folder.as_os_str()];
            hillfolio().env("RAYON_NUM_THREADS", threads).args(order).assert().code(0);
            bytes_below(&folder.join("out"))
        };
        let (one, other) = (build("one", "1"), build("another/deeper", "8"));
        let names =
            |files: &[(PathBuf, Vec<u8>)]| files.iter().map(|(path, _)| path.clone()).collect::<Vec<_>>();
        assert_eq!(names(&one), names(&other));
        for ((path, one), (_, other)) in one.iter().zip(&other) {
            assert!(one == other, "{name}: {} differs", path.display());
        }
    }
}

pub(crate) fn bytes_below(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let (mut folders, mut files) = (vec![folder.to_owned()], vec![]);
    while let Some(at) = folders.pop() {
        for entry in fs::read_dir(at).unwrap() {
            let path = entry.unwrap().path();
            match path.is_dir() {
                true => folders.push(path),
                false => {
                    files.push((path.strip_prefix(folder).unwrap().to_owned(), fs::read(&path).unwrap()))
                }
            }
        }
    }
    files.sort();
    files
}

#[test]
fn inputs_are_never_changed() {
    let home = tempfile::tempdir().unwrap();
    copy(&sample("tussock-fold"), home.path());
    let before = bytes_below(home.path());
    hillfolio().args(["build".as_ref(), home.path().as_os_str()]).assert().code(0);
    fs::remove_dir_all(home.path().join("out")).unwrap();
    assert!(before == bytes_below(home.path()));
}

#[test]
fn an_error_writes_nothing_and_the_old_output_stays() {
    let home = tempfile::tempdir().unwrap();
    copy(&sample("brindle-spur"), home.path());
    hillfolio().args(["build".as_ref(), home.path().as_os_str()]).assert().code(0);
    let before = bytes_below(&home.path().join("out"));
    fs::write(
        home.path().join("plantings.csv"),
        "date,area,species,stems\n2025-13-41,nowhere,Abies unknown,-3\n",
    )
    .unwrap();
    let build = hillfolio().args(["build".as_ref(), home.path().as_os_str()]).assert().code(1);
    let said = String::from_utf8_lossy(&build.get_output().stderr).into_owned();
    for word in ["2025-13-41", "nowhere", "Abies unknown", "-3", "plantings.csv:2", "nothing was written"] {
        assert!(said.contains(word), "`{word}` is not in:\n{said}");
    }
    assert!(before == bytes_below(&home.path().join("out")));
}

#[test]
fn a_figure_is_explained_and_a_wrong_id_gets_its_nearest() {
    let folder = sample("brindle-spur");
    let explained =
        hillfolio().args(["explain".as_ref(), folder.as_os_str(), "survival.all".as_ref()]).assert().code(0);
    let said = String::from_utf8_lossy(&explained.get_output().stdout).into_owned();
    for word in ["survival.all", "tallies.csv", "Cochran"] {
        assert!(said.contains(word), "`{word}` is not in:\n{said}");
    }
    let missed =
        hillfolio().args(["explain".as_ref(), folder.as_os_str(), "survivl.all".as_ref()]).assert().code(2);
    assert!(String::from_utf8_lossy(&missed.get_output().stderr).contains("survival.all"));
}

#[test]
fn problems_come_as_json_for_programs() {
    let folder = sample("tussock-fold");
    let check = hillfolio().args(["check".as_ref(), folder.as_os_str(), "--json".as_ref()]).assert().code(0);
    let said: serde_json::Value = serde_json::from_slice(&check.get_output().stdout).unwrap();
    let codes: std::collections::BTreeSet<&str> = said["problems"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|problem| problem["grade"] == "doubt")
        .map(|problem| problem["code"].as_str().unwrap())
        .collect();
    assert!(codes.len() >= 10, "the awkward sample has doubts of at least ten kinds, these: {codes:?}");
}

#[test]
fn what_is_not_understood_ends_with_two() {
    hillfolio().arg("bulid").assert().code(2);
    hillfolio().args(["build", "x", "--only", "poem"]).assert().code(2);
    let help = hillfolio().arg("--help").assert().code(0);
    let said = String::from_utf8_lossy(&help.get_output().stdout).into_owned();
    for command in ["new", "check", "build", "explain"] {
        assert!(said.contains(command), "{said}");
    }
}

#[test]
fn a_folder_that_is_not_there_says_so() {
    let check = hillfolio().args(["check", "no-such-folder"]).assert().code(1);
    let said = String::from_utf8_lossy(&check.get_output().stdout).into_owned();
    assert!(said.contains("no-such-folder") || said.contains("can't be read"), "{said}");
}

/// Text that would be markup, a formula or a path, in every place where a user can name something.
#[test]
fn hostile_text_is_data_everywhere() {
    let home = tempfile::tempdir().unwrap();
    copy(&sample("brindle-spur"), home.path());
    let long = "Very long name ".repeat(20);
    let hostile = [
        ("North face", r##"#panic() *x* $y$ _z_ <w> =1+1 \ 森 🌱 שלום مرحبا"##),
        ("Brindle Spur", long.as_str()),
        ("Millrace Nursery", "=HYPERLINK(1)"),
        ("Upper Tarrow", "../../../etc/passwd"),
    ];
    for (path, bytes) in bytes_below(home.path()) {
        let Ok(mut text) = String::from_utf8(bytes) else { continue };
        // JSON and TOML write a backslash twice.
        let twice = path.extension().is_some_and(|ending| ending == "geojson" || ending == "toml");
        for (plain, odd) in hostile {
            text = text.replace(plain, &odd.replace('\\', if twice { r"\\" } else { r"\" }));
        }
        fs::write(home.path().join(path), text).unwrap();
    }
    let build = hillfolio().args(["build".as_ref(), home.path().as_os_str()]).assert().code(0);
    let said = String::from_utf8_lossy(&build.get_output().stderr).into_owned();
    for word in ["[glyph-missing]", "森", "🌱", "areas.geojson:1", "plantings.csv:2", "[name-shortened]"] {
        assert!(said.contains(word), "`{word}` is not in:\n{said}");
    }
    let csv = fs::read_to_string(home.path().join("out/data/figures.csv")).unwrap();
    assert!(!csv.contains(",=") && !csv.contains(",\"="), "no cell begins as a formula does");
    let names: Vec<PathBuf> =
        bytes_below(&home.path().join("out")).into_iter().map(|(path, _)| path).collect();
    assert!(
        names.iter().all(|name| name.to_str().unwrap().is_ascii() && name.to_str().unwrap().len() < 120),
        "{names:?}"
    );
}
