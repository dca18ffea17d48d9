//! Many folders as a user builds them: all of them, again, in slices, with a bad one among them.

use std::{fs, num::NonZero, path::Path, path::PathBuf, process::Command, time::Duration};

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
    hillfolio().args(["portfolio", "no-such-folder"]).assert().code(3);
    let list = home.path().join("list.txt");
    fs::write(&list, "../elsewhere\n").unwrap();
    let refused = hillfolio().args(["portfolio", root, "--list", list.to_str().unwrap()]).assert().code(3);
    assert!(String::from_utf8_lossy(&refused.get_output().stderr).contains("line 1"));
}

#[test]
fn a_folder_without_a_project_is_left_as_it_is_and_told_what_was_looked_for() {
    let home = tempfile::tempdir().unwrap();
    fs::create_dir_all(home.path().join("north/photos")).unwrap();
    fs::write(home.path().join("north/plantings.csv"), "date,area\n").unwrap();
    let before = bytes_below(home.path());
    let list = home.path().join("north/plantings.csv");
    fs::write(&list, "# none yet\n\n").unwrap();
    let root = home.path().to_str().unwrap();
    let said = |options: &[&str]| {
        let run = hillfolio().args(["portfolio", root]).args(options).assert().code(1);
        assert!(run.get_output().stdout.is_empty());
        String::from_utf8_lossy(&run.get_output().stderr).into_owned()
    };
    for options in [&[][..], &["--merge"], &["--json"], &["--slice", "1/2"], &["--print", "list"]] {
        let said = said(options);
        assert!(said.contains(&format!("no project was found in {root}")), "{said}");
        assert!(said.contains("help: a project is a folder that holds a `project.toml`"), "{said}");
    }
    let said = said(&["--list", list.to_str().unwrap()]);
    assert!(said.contains("plantings.csv names no project") && said.contains("on each line"), "{said}");
    assert!(!home.path().join("out").exists(), "nothing is written");
    assert_eq!(before.len(), bytes_below(home.path()).len());

    // More slices than projects are no mistake: what a slice has nothing of is done.
    many::project(&home.path().join("north"), 0);
    let (code, events) = portfolio(home.path(), &["--slice", "2/2"]);
    assert_eq!((code, endings(&events)), (0, vec![]));
}

/// A folder with the projects `a` to `d`, which hold nothing.
#[cfg(unix)]
fn four() -> tempfile::TempDir {
    let home = tempfile::tempdir().unwrap();
    for name in ["a", "b", "c", "d"] {
        fs::create_dir(home.path().join(name)).unwrap();
        fs::write(home.path().join(name).join("project.toml"), "").unwrap();
    }
    home
}

/// A stand-in for the worker in `home`: a shell script that has read a task into `order`, does one of the `cases` for it and else says
/// that it is built.
#[cfg(unix)]
fn stand_in(home: &Path, cases: &str) -> PathBuf {
    use std::os::unix::fs::PermissionsExt as _;
    let worker = home.join("worker.sh");
    let done = r#"{"ending":"built","errors":0,"doubts":0,"says":[],"files":1,"memory":0}"#;
    let script = format!(
        "#!/bin/sh\nwhile read -r order; do case \"$order\" in\n{cases}\n*) echo '{done}';; esac; done\n"
    );
    fs::write(&worker, script).unwrap();
    fs::set_permissions(&worker, fs::Permissions::from_mode(0o755)).unwrap();
    worker
}

#[cfg(unix)]
fn order(root: &Path, program: PathBuf) -> Order {
    Order {
        root: root.to_owned(),
        out: root.join("out"),
        list: None,
        slice: Slice::WHOLE,
        build: Build::Due,
        by_stamp: true,
        workers: NonZero::new(2),
        memory: None,
        limit: None,
        templates: None,
        photo_cache: None,
        program,
    }
}

/// A worker that is killed in the middle of a project, as the system does where memory runs out.
#[cfg(unix)]
#[test]
fn a_worker_that_dies_takes_one_project_with_it() {
    let home = four();
    let worker = stand_in(
        home.path(),
        "*'\"project\":\"b\"'*) echo 'thread panicked at src/x.rs:1' >&2; kill -9 $$;;\n\
         *'\"project\":\"c\"'*) exec >&-; exec sleep 1000;;",
    );
    let report = hillfolio::portfolio::run(&order(home.path(), worker), &|_| ()).unwrap();
    let endings: Vec<Ending> = report.projects.iter().map(|(_, done)| done.ending).collect();
    assert_eq!(endings, [Ending::Built, Ending::Crashed, Ending::Crashed, Ending::Built]);
    assert_eq!(report.code(), 3);
    let says = &report.projects[1].1.says[0];
    assert!(says.contains("signal: 9") && says.contains("src/x.rs:1"), "{says}");

    let none = hillfolio::portfolio::run(&order(home.path(), home.path().join("no-such-program")), &|_| ());
    assert!(none.is_err());
}

/// A worker that waits for something that never comes, as for a network drive that is gone, and one that says what is no answer.
#[cfg(unix)]
#[test]
fn a_project_that_comes_to_no_end_is_given_up_and_the_others_are_built() {
    let home = four();
    let number = home.path().join("number");
    let worker = stand_in(
        home.path(),
        &format!(
            "*'\"project\":\"b\"'*) echo $$ > '{}'; exec sleep 1000;;\n\
             *'\"project\":\"c\"'*) echo nonsense; exec sleep 1000;;",
            number.display()
        ),
    );
    // One worker at a time: what comes after `b` is built by its successor.
    let order =
        Order { workers: NonZero::new(1), limit: Some(Duration::from_secs(2)), ..order(home.path(), worker) };
    let report = hillfolio::portfolio::run(&order, &|_| ()).unwrap();
    let endings: Vec<Ending> = report.projects.iter().map(|(_, done)| done.ending).collect();
    assert_eq!(endings, [Ending::Built, Ending::Failed, Ending::Crashed, Ending::Built]);
    assert_eq!(report.code(), 3);
    let says = report.projects[1].1.says.join("\n");
    assert!(says.starts_with("it was not done after 2 seconds and its worker was stopped"), "{says}");
    let folder = home.path().join("b").display().to_string();
    assert!(says.contains(&format!("`hillfolio build {folder}`")) && says.contains("--limit"), "{says}");
    let alive = Command::new("kill").arg("-0").arg(fs::read_to_string(number).unwrap().trim()).output();
    assert!(!alive.unwrap().status.success(), "the worker lives on");
}

#[test]
fn the_limit_is_in_whole_minutes_and_none_is_zero() {
    let home = tempfile::tempdir().unwrap();
    many::portfolio(home.path(), 1);
    for limit in ["-1", "1.5", "soon"] {
        hillfolio().arg("portfolio").arg(home.path()).arg(format!("--limit={limit}")).assert().code(2);
    }
    assert_eq!(endings(&portfolio(home.path(), &["--limit", "0"]).1), all("built", &THREE[..1]));
    assert_eq!(endings(&portfolio(home.path(), &["--limit", "1", "--force"]).1), all("built", &THREE[..1]));
}

fn rolled_up(out: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    bytes_below(&out.join("roll-up"))
}

/// The value, the lower and the upper end of a figure in a table of figures.
fn figure(table: &Path, id: &str) -> (f64, Option<f64>, Option<f64>) {
    let text = fs::read_to_string(table).unwrap();
    let mut rows = csv::Reader::from_reader(text.as_bytes());
    let row = rows.records().map(Result::unwrap).find(|row| &row[0] == id).unwrap_or_else(|| panic!("{id}"));
    let number = |at: usize| row[at].parse().ok();
    (number(2).unwrap(), number(4), number(5))
}

/// All sites together are what the sites say each: sums by hand, survival weighted by stems, the errors of independent sites by
/// their squares (Cochran 1977, *Sampling Techniques*, section 5.3: v(Σ W p) = Σ W² v).
#[test]
fn the_roll_up_adds_up_what_the_sites_say() {
    let home = tempfile::tempdir().unwrap();
    many::portfolio(home.path(), 3);
    hillfolio().arg("portfolio").arg(home.path()).args(["--name", "Three hills"]).assert().code(0);
    let out = home.path().join("out");
    let of_site =
        |n: usize, id: &str| figure(&out.join("projects").join(THREE[n]).join("data/figures.csv"), id);
    let all = |id: &str| figure(&out.join("roll-up/figures.csv"), id);

    let stems = [0, 1, 2].map(|n| of_site(n, "plantings.stems.all").0);
    assert_eq!(all("plantings.stems.all").0, stems.iter().sum::<f64>());
    let spent: f64 = [0, 1, 2].map(|n| of_site(n, "spend.total").0).iter().sum();
    assert!((all("spend.total.aud").0 - spent).abs() < 0.005);

    let (mut value, mut down, mut up) = (0.0, 0.0, 0.0);
    for n in [0, 1, 2] {
        let (share, low, high) = of_site(n, "survival.all");
        let weight = stems[n] / stems.iter().sum::<f64>();
        value += weight * share;
        down += (weight * (share - low.unwrap())).powi(2);
        up += (weight * (high.unwrap() - share)).powi(2);
    }
    let (survival, low, high) = all("survival.all");
    assert!((survival - value).abs() < 1e-12);
    assert!((survival - low.unwrap() - down.sqrt()).abs() < 1e-9);
    assert!((high.unwrap() - survival - up.sqrt()).abs() < 1e-9);

    // Each source is a row of the table of all figures, which holds that site's figure digit for digit.
    let table = fs::read_to_string(out.join("roll-up/sites.csv")).unwrap();
    let figures = fs::read_to_string(out.join("roll-up/figures.csv")).unwrap();
    let mut figures = csv::Reader::from_reader(figures.as_bytes());
    let area = figures.records().map(Result::unwrap).find(|row| &row[0] == "site.area.all").unwrap();
    let rows: Vec<usize> =
        area[8].trim_start_matches("sites.csv: ").split(", ").map(|row| row.parse().unwrap()).collect();
    let mut lines = csv::ReaderBuilder::new().has_headers(false).from_reader(table.as_bytes());
    let lines: Vec<csv::StringRecord> = lines.records().map(Result::unwrap).collect();
    for (n, row) in rows.into_iter().enumerate() {
        assert_eq!((&lines[row - 1][0], &lines[row - 1][5]), (THREE[n], "site.area.all"));
        assert_eq!(lines[row - 1][7].parse::<f64>().unwrap(), of_site(n, "site.area.all").0);
    }
}

#[test]
fn merging_slices_gives_the_bytes_of_one_run_takes_what_there_is_and_changes_nothing_twice() {
    let home = tempfile::tempdir().unwrap();
    many::portfolio(home.path(), 3);
    assert_eq!(portfolio(home.path(), &[]).0, 0);
    let whole = rolled_up(&home.path().join("out"));

    let out = home.path().join("elsewhere");
    let at =
        |options: &[&str]| portfolio(home.path(), &[&["--out", out.to_str().unwrap()][..], options].concat());
    assert_eq!(at(&["--slice", "1/2"]).0, 0);
    assert!(!out.join("roll-up").exists());
    let (code, events) = at(&["--merge"]);
    assert_eq!(code, 1, "a project is not there yet");
    assert_eq!(endings(&events)[1], (THREE[1].to_owned(), "missing".to_owned()));
    let partial = fs::read_to_string(out.join("roll-up/figures.csv")).unwrap();
    assert!(partial.contains("sites.count,Sites,2,"), "{partial}");

    assert_eq!(at(&["--slice", "2/2"]).0, 0);
    assert_eq!(at(&["--merge"]).0, 0);
    assert!(rolled_up(&out) == whole);
    let stamp = || fs::metadata(out.join("roll-up/portfolio.pdf")).unwrap().modified().unwrap();
    let before = stamp();
    assert_eq!(at(&["--merge"]).0, 0);
    assert!(stamp() == before, "nothing is written where nothing changed");
    fs::write(out.join("roll-up/figures.csv"), "written over").unwrap();
    assert_eq!(at(&["--merge"]).0, 0);
    // What somebody wrote stays beside what is made anew.
    let kept = out.join("roll-up/figures (kept).csv");
    assert_eq!(fs::read_to_string(&kept).unwrap(), "written over");
    fs::remove_file(kept).unwrap();
    assert!(rolled_up(&out) == whole);
}

/// Names that would be markup, formulas or paths are words in the roll-up too.
#[test]
fn hostile_names_are_words_in_the_roll_up() {
    let home = tempfile::tempdir().unwrap();
    many::portfolio(home.path(), 1);
    let settings = home.path().join(THREE[0]).join("project.toml");
    let text = fs::read_to_string(&settings).unwrap();
    let hostile =
        text.replace(&format!("name = \"{}\"", many::name(0)), "name = \"=HYPERLINK(1) #panic() *x*\"");
    assert!(hostile != text);
    fs::write(&settings, hostile).unwrap();
    assert_eq!(portfolio(home.path(), &["--name", "#panic(\"t\") =1+1 森"]).0, 0);
    let table = fs::read_to_string(home.path().join("out/roll-up/sites.csv")).unwrap();
    assert!(table.contains(",'=HYPERLINK(1) #panic() *x*,") && !table.contains(",=HYPERLINK"));
}

/// The table of all figures as Parquet, read back by Apache Arrow's reader (pyarrow): the same rows, every number to its last digit.
#[test]
#[allow(clippy::print_stderr, reason = "a check that is left out says so")]
fn the_parquet_table_is_the_csv_table_to_another_reader() {
    const READER: &str = r"
import csv, sys
import pyarrow.parquet as parquet
table = parquet.read_table(sys.argv[1])
columns = {name: table[name].to_pylist() for name in table.column_names}
with open(sys.argv[2], newline='') as file:
    rows = list(csv.reader(file))
assert table.column_names == rows[0], (table.column_names, rows[0])
assert table.num_rows == len(rows) - 1 > 100, (table.num_rows, len(rows))
numbers = ('value', 'low', 'high', 'confidence')
for at, row in enumerate(rows[1:]):
    for name, cell in zip(rows[0], row):
        held = columns[name][at]
        if name in numbers:
            assert held == (float(cell) if cell else None), (at, name, held, cell)
        elif name.startswith('period_'):
            assert held.isoformat() == cell, (at, name, held, cell)
        else:
            assert held == cell.removeprefix(chr(39)), (at, name, held, cell)
print(table.num_rows, 'rows held against one another')
";
    let home = tempfile::tempdir().unwrap();
    many::portfolio(home.path(), 2);
    assert_eq!(portfolio(home.path(), &[]).0, 0);
    let table = home.path().join("out/roll-up/sites.parquet");
    let bytes = fs::read(&table).unwrap();
    assert!(bytes.starts_with(b"PAR1") && bytes.ends_with(b"PAR1"));
    let python =
        |arguments: &[&std::ffi::OsStr]| std::process::Command::new("python3").args(arguments).output();
    let has_reader = python(&["-c".as_ref(), "import pyarrow.parquet".as_ref()]);
    if !has_reader.is_ok_and(|found| found.status.success()) {
        eprintln!("LEFT OUT: no Python with pyarrow here, so nobody else read the Parquet table");
        return;
    }
    let csv = home.path().join("out/roll-up/sites.csv");
    let read = python(&["-c".as_ref(), READER.as_ref(), table.as_os_str(), csv.as_os_str()]).unwrap();
    assert!(read.status.success(), "{}", String::from_utf8_lossy(&read.stderr));
}
