//! Many folders as a user builds them: all of them, again, in slices, with a bad one among them.

use std::{fs, num::NonZero, path::Path, path::PathBuf};

use hillfolio::portfolio::{Build, Ending, Order, Slice};
use serde_json::Value;

use crate::{
    commands::{bytes_below, hillfolio},
    many,
};

fn portfolio(root: &Path, options: &[&str]) -> (i32, Vec<Value>) {
    let run = hillfolio().arg("portfolio").arg(root).arg("--json").args(options).output().unwrap();
    let lines = String::from_utf8(run.stdout).unwrap();
    let events = lines.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    (run.status.code().unwrap(), events)
}

/// Project and ending of each, in order of project.
fn endings(events: &[Value]) -> Vec<(String, String)> {
    let word = |event: &Value, key: &str| event[key].as_str().unwrap().to_owned();
    let projects = events.iter().filter(|event| event["event"] == "project");
    let mut endings: Vec<_> = projects.map(|event| (word(event, "project"), word(event, "ending"))).collect();
    endings.sort();
    endings
}

fn all(ending: &str, paths: &[&str]) -> Vec<(String, String)> {
    paths.iter().map(|path| ((*path).to_owned(), ending.to_owned())).collect()
}

const THREE: [&str; 3] = ["north/0000", "range/east/0001", "range/west/0002"];

#[test]
fn all_are_built_as_each_would_be_and_then_only_what_changed() {
    let home = tempfile::tempdir().unwrap();
    many::portfolio(home.path(), 3);
    let (code, events) = portfolio(home.path(), &["--workers", "2"]);
    assert_eq!((code, endings(&events)), (0, all("built", &THREE)));
    let out = home.path().join("out");
    let logged = fs::read_to_string(out.join("runs/run.jsonl")).unwrap();
    assert_eq!(logged.lines().count(), events.len(), "the run log holds what was printed");

    let alone = home.path().join("alone");
    let folder = home.path().join(THREE[1]);
    hillfolio().arg("build").arg(&folder).arg("--out").arg(&alone).assert().code(0);
    assert!(bytes_below(&alone) == bytes_below(&out.join("projects").join(THREE[1])));
    fs::remove_dir_all(alone).unwrap();

    let (code, events) = portfolio(home.path(), &[]);
    assert_eq!((code, endings(&events)), (0, all("unchanged", &THREE)));

    // The same content under a new date is no change; other content is.
    let tallies = home.path().join(THREE[0]).join("tallies.csv");
    let text = fs::read_to_string(&tallies).unwrap();
    fs::write(&tallies, &text).unwrap();
    assert_eq!(endings(&portfolio(home.path(), &[]).1), all("unchanged", &THREE));
    fs::write(&tallies, text.replace("2026-05-20", "2026-05-21")).unwrap();
    let (_, events) = portfolio(home.path(), &[]);
    assert_eq!(endings(&events).iter().filter(|(_, ending)| ending == "built").count(), 1);
    assert_eq!(endings(&events)[0].1, "built");

    // Documents that somebody wrote over, of the same length even, are made again.
    let damaged = out.join("projects").join(THREE[2]).join("data/figures.csv");
    let before = fs::read(&damaged).unwrap();
    fs::write(&damaged, before.iter().map(|byte| byte ^ 1).collect::<Vec<_>>()).unwrap();
    assert_eq!(endings(&portfolio(home.path(), &[]).1)[2].1, "built");
    assert!(fs::read(&damaged).unwrap() == before);

    assert_eq!(endings(&portfolio(home.path(), &["--reread"]).1), all("unchanged", &THREE));
    assert_eq!(endings(&portfolio(home.path(), &["--force"]).1), all("built", &THREE));
}

#[test]
fn a_bad_folder_stops_no_other_and_is_tried_again() {
    let home = tempfile::tempdir().unwrap();
    many::portfolio(home.path(), 2);
    let bad = home.path().join("a-bad-one");
    many::project(&bad, 2);
    let plantings = fs::read_to_string(bad.join("plantings.csv")).unwrap();
    fs::write(bad.join("plantings.csv"), plantings.replace("2025-08-12", "yesterday")).unwrap();
    let (code, events) = portfolio(home.path(), &[]);
    assert_eq!(code, 1);
    assert_eq!(endings(&events)[0], ("a-bad-one".to_owned(), "errors".to_owned()));
    assert_eq!(endings(&events)[1..], all("built", &THREE[..2]));
    let told = events.iter().find(|event| event["project"] == "a-bad-one").unwrap();
    assert!(told["says"][0].as_str().unwrap().contains("yesterday"), "{told}");
    assert!(!home.path().join("out/projects/a-bad-one").exists());

    let said = hillfolio().arg("portfolio").arg(home.path()).assert().code(1);
    let said = String::from_utf8_lossy(&said.get_output().stdout).into_owned();
    assert!(said.contains("3 projects: 2 unchanged, 1 with errors"), "{said}");
    fs::write(bad.join("plantings.csv"), plantings).unwrap();
    assert_eq!(portfolio(home.path(), &[]).0, 0);
}

#[test]
fn slices_and_lists_make_together_what_one_run_makes() {
    let home = tempfile::tempdir().unwrap();
    many::portfolio(home.path(), 3);
    assert_eq!(portfolio(home.path(), &[]).0, 0);
    let whole = bytes_below(&home.path().join("out/projects"));

    let (list, out) = (home.path().join("list.txt"), home.path().join("elsewhere"));
    fs::write(&list, THREE.join("\n")).unwrap();
    let list = ["--list", list.to_str().unwrap(), "--out", out.to_str().unwrap()];
    let slice = |slice: &str| portfolio(home.path(), &[&list[..], &["--slice", slice]].concat());
    assert_eq!(endings(&slice("2/2").1), all("built", &[THREE[1]]));
    assert_eq!(endings(&slice("1/2").1), all("built", &[THREE[0], THREE[2]]));
    assert!(whole == bytes_below(&out.join("projects")));
    assert!(out.join("runs/slice-1-of-2.jsonl").is_file());
}

#[test]
fn what_can_not_be_understood_or_found_says_so() {
    let home = tempfile::tempdir().unwrap();
    let root = home.path().to_str().unwrap();
    hillfolio().args(["portfolio", root, "--slice", "3/2"]).assert().code(2);
    hillfolio().args(["portfolio", root, "--workers", "0"]).assert().code(2);
    let none = hillfolio().args(["portfolio", root]).assert().code(1);
    assert!(String::from_utf8_lossy(&none.get_output().stdout).contains("0 projects: none found"));
    hillfolio().args(["portfolio", "no-such-folder"]).assert().code(3);
    let list = home.path().join("list.txt");
    fs::write(&list, "../elsewhere\n").unwrap();
    let refused = hillfolio().args(["portfolio", root, "--list", list.to_str().unwrap()]).assert().code(3);
    assert!(String::from_utf8_lossy(&refused.get_output().stderr).contains("line 1"));
}

/// A worker that is killed in the middle of a project, as the system does where memory runs out.
#[cfg(unix)]
#[test]
fn a_worker_that_dies_takes_one_project_with_it() {
    use std::os::unix::fs::PermissionsExt as _;
    let home = tempfile::tempdir().unwrap();
    for name in ["a", "b", "c", "d"] {
        fs::create_dir(home.path().join(name)).unwrap();
        fs::write(home.path().join(name).join("project.toml"), "").unwrap();
    }
    let worker = home.path().join("worker.sh");
    let done = r#"{"ending":"built","errors":0,"doubts":0,"says":[],"files":1,"memory":0}"#;
    let script = format!(
        "#!/bin/sh\nwhile read -r order; do case \"$order\" in\n*'\"project\":\"b\"'*) echo 'thread panicked at src/x.rs:1' >&2; kill -9 $$;;\n\
         *'\"project\":\"c\"'*) exec >&-; exec sleep 1000;;\n*) echo '{done}';; esac; done\n"
    );
    fs::write(&worker, script).unwrap();
    fs::set_permissions(&worker, fs::Permissions::from_mode(0o755)).unwrap();
    let order = |program: PathBuf| Order {
        root: home.path().to_owned(),
        out: home.path().join("out"),
        list: None,
        slice: Slice::WHOLE,
        build: Build::Due,
        by_stamp: true,
        workers: NonZero::new(2),
        memory: None,
        templates: None,
        program,
    };
    let report = hillfolio::portfolio::run(&order(worker), &|_| ()).unwrap();
    let endings: Vec<Ending> = report.projects.iter().map(|(_, done)| done.ending).collect();
    assert_eq!(endings, [Ending::Built, Ending::Crashed, Ending::Crashed, Ending::Built]);
    assert_eq!(report.code(), 3);
    let says = &report.projects[1].1.says[0];
    assert!(says.contains("signal: 9") && says.contains("src/x.rs:1"), "{says}");

    let none = hillfolio::portfolio::run(&order(home.path().join("no-such-program")), &|_| ());
    assert!(none.is_err());
}
