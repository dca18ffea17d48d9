//! One small folder for each plausible mistake that would otherwise become a number in silence: a copy of `silent/base` with one
//! change each. Every one must end in an error or a doubt that names the row and shows what it would change.

mod cases;
mod ways;

use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
};

use hillfolio_core::problem::{Grade, Problem};
use tempfile::TempDir;

use crate::{commands::copy, silent::cases::CASES};

use Edit::{Add, Each, Grid, Head, Put, Write};

/// What is done to a file of the base.
enum Edit {
    /// The first is replaced by the second, which must be there.
    Put(&'static str, &'static str, &'static str),
    /// A line is added.
    Add(&'static str, &'static str),
    /// Every number of a column is changed.
    Each(&'static str, &'static str, fn(f64) -> String),
    /// The whole file is this.
    Write(&'static str, &'static str),
    /// Every height of the terrain is so many times as high.
    Grid(f64),
    /// A heading is renamed.
    Head(&'static str, &'static str, &'static str),
}

/// A mistake: what is done, the code that must be said, the rows it must be said of (none for a whole file), and words that must stand
/// in the sentence: the two readings or the arithmetic.
struct Case {
    name: &'static str,
    edits: &'static [Edit],
    code: &'static str,
    rows: &'static [u32],
    says: &'static [&'static str],
}

fn base() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program/silent/base")
}

fn laid_out(edits: &[Edit]) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    copy(&base(), folder.path());
    for edit in edits {
        let path = |file: &str| folder.path().join(file);
        let read = |file: &str| fs::read_to_string(path(file)).unwrap();
        match edit {
            Put(file, from, to) => {
                let text = read(file);
                assert!(text.contains(from), "{file} does not hold {from}");
                fs::write(path(file), text.replacen(from, to, 1)).unwrap();
            }
            Add(file, line) => fs::write(path(file), read(file) + line + "\n").unwrap(),
            Write(file, text) => fs::write(path(file), text).unwrap(),
            Grid(factor) => {
                let higher = |line: &str| match line.starts_with(|letter: char| letter.is_ascii_digit()) {
                    true => line
                        .split(' ')
                        .map(|height| format!("{:.1}", height.parse::<f64>().unwrap() * factor))
                        .collect::<Vec<_>>()
                        .join(" "),
                    false => line.to_owned(),
                };
                let lines: Vec<String> = read("terrain.asc").lines().map(higher).collect();
                fs::write(path("terrain.asc"), lines.join("\n") + "\n").unwrap();
            }
            Head(file, from, to) => {
                let text = read(file);
                let (head, rest) = text.split_once('\n').unwrap();
                assert!(head.contains(from), "{file} has no heading {from}");
                fs::write(path(file), format!("{}\n{rest}", head.replacen(from, to, 1))).unwrap();
            }
            Each(file, column, change) => {
                let text = read(file);
                let mut lines = text.lines();
                let head = lines.next().unwrap();
                let at = head.split(',').position(|heading| heading == *column).unwrap();
                let changed = |line: &str| {
                    let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
                    if let Ok(number) = cells[at].parse::<f64>() {
                        cells[at] = change(number);
                    }
                    cells.join(",")
                };
                let body: Vec<String> = lines.map(changed).collect();
                fs::write(path(file), format!("{head}\n{}\n", body.join("\n"))).unwrap();
            }
        }
    }
    folder
}

fn problems(folder: &Path) -> Vec<Problem> {
    match hillfolio::check(folder) {
        Ok(intake) => intake.problems,
        Err(problems) => problems,
    }
}

/// The codes that a case shows, for the test that every kind of problem is shown somewhere.
pub(crate) fn codes() -> impl Iterator<Item = &'static str> {
    CASES.iter().map(|case| case.code)
}

#[test]
fn no_plausible_mistake_becomes_a_number_in_silence() {
    let (mut wrong, mut said) = (Vec::new(), String::new());
    for case in CASES {
        let folder = laid_out(case.edits);
        let found = problems(folder.path());
        let told: Vec<String> = found
            .iter()
            .filter(|problem| problem.grade() != Grade::Remark)
            .map(|problem| {
                let message = problem.message();
                format!("{}[{}] {}: {}", message.grade.word(), message.code, problem.place, message.sentence)
            })
            .collect();
        let of_code: Vec<&Problem> =
            found.iter().filter(|problem| problem.kind.code() == case.code).collect();
        let rows: BTreeSet<u32> = of_code.iter().filter_map(|problem| problem.place.row).collect();
        let asked: BTreeSet<u32> = case.rows.iter().copied().collect();
        // On paper a number does not part from its unit.
        let plain = |problem: &&Problem| problem.message().sentence.replace('\u{a0}', " ");
        let sentences: Vec<String> = of_code.iter().map(plain).collect();
        let shows = case.says.iter().all(|words| sentences.iter().any(|sentence| sentence.contains(words)));
        if of_code.is_empty() || !asked.is_subset(&rows) || !shows {
            wrong.push(format!(
                "{}: {:?} of {rows:?}, not {:?}\n  {}",
                case.name,
                case.code,
                case.says,
                told.join("\n  ")
            ));
        }
        let mut once = BTreeSet::new();
        said += &format!("{}\n", case.name);
        for sentence in sentences.into_iter().filter(|sentence| once.insert(sentence.clone())) {
            said += &format!("  {}: {sentence}\n", case.code);
        }
        let others: BTreeSet<String> = found
            .iter()
            .filter(|problem| problem.grade() != Grade::Remark && problem.kind.code() != case.code)
            .map(|problem| problem.kind.code().into_owned())
            .collect();
        if !others.is_empty() {
            said += &format!("  besides: {}\n", others.into_iter().collect::<Vec<_>>().join(", "));
        }
    }
    assert!(wrong.is_empty(), "{} of {} pass in silence:\n{}", wrong.len(), CASES.len(), wrong.join("\n"));
    insta::assert_snapshot!("what_is_said_of_each_silent_mistake", said);
}

#[test]
fn there_are_as_many_mistakes_as_were_asked_for_each_under_its_own_name() {
    let names: BTreeSet<&str> = CASES.iter().map(|case| case.name).collect();
    assert_eq!(names.len(), CASES.len());
    assert!(CASES.len() >= 60, "{} cases", CASES.len());
}

/// Nothing of the kind is said of a folder without a mistake, nor of the samples, save for the slips that stand in one on purpose.
#[test]
fn a_folder_without_a_mistake_and_the_samples_raise_no_such_doubt() {
    let folder = tempfile::tempdir().unwrap();
    copy(&base(), folder.path());
    assert_eq!(problems(folder.path()), []);
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-projects");
    let codes: BTreeSet<&str> = codes().collect();
    for (sample, on_purpose) in [
        ("brindle-spur", &["outside-period"][..]),
        ("ashlar-gap", &[]),
        (
            "tussock-fold",
            &[
                "outside-period",
                "basis-empty",
                "row-twice",
                "receipt-twice",
                "fence-differs",
                "slopes-differ",
                "survey-before-planting",
                "tally-does-not-add-up",
            ],
        ),
    ] {
        let found = problems(&samples.join(sample));
        let told: BTreeSet<String> = found.iter().map(|problem| problem.kind.code().into_owned()).collect();
        let false_alarms: Vec<&String> = told
            .iter()
            .filter(|code| codes.contains(code.as_str()) && !on_purpose.contains(&code.as_str()))
            .collect();
        assert!(false_alarms.is_empty(), "{sample}: {false_alarms:?}");
    }
}
