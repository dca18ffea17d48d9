//! Answers back in: what a check asks is answered in its workbook, written as settings and corrections, and taken back to the byte.

use std::{fs, path::Path};

use hillfolio_core::{
    intake,
    problem::{self, Correction, EMPTY, LEAVE_OUT},
};
use rust_xlsxwriter::Workbook;

use crate::{
    broken::laid_out,
    commands::hillfolio,
    person,
    workbooks::{ods_called, ods_row},
};

/// What a check of the folder asks.
fn asked(dir: &Path) -> Vec<Correction> {
    problem::corrections(&hillfolio::check(dir).map_or_else(|problems| problems, |intake| intake.problems))
}

/// The list as a workbook with answers in it, as a spreadsheet saves it: of XLSX or ODS.
fn answered(list: &Path, answers: &[(String, String)]) {
    let heads = ["no", "answer", "mark"];
    let rows = (1..)
        .zip(answers)
        .map(|(number, (mark, answer))| [format!("n{number}"), answer.clone(), mark.clone()]);
    if list.extension().is_some_and(|ending| ending == "ods") {
        let rows = rows.map(|row| ods_row("", &row.each_ref().map(String::as_str)));
        let text: String = [ods_row("", &heads)].into_iter().chain(rows).collect();
        let bytes = ods_called("questions", &text);
        return fs::write(list, bytes).unwrap();
    }
    let mut book = Workbook::new();
    let sheet = book.add_worksheet().set_name("questions").unwrap();
    sheet.write_row(0, 0, heads).unwrap();
    for (at, row) in (1..).zip(rows) {
        sheet.write_row(at, 0, row).unwrap();
    }
    book.save(list).unwrap();
}

/// The folder as it is: every file with its bytes, hidden ones too.
fn all(dir: &Path) -> Vec<(String, Vec<u8>)> {
    let mut files: Vec<(String, Vec<u8>)> = fs::read_dir(dir)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_file())
        .map(|path| (path.file_name().unwrap().to_str().unwrap().to_owned(), fs::read(path).unwrap()))
        .collect();
    files.sort();
    files
}

fn run(dir: &Path, arguments: &[&str], code: i32) -> String {
    let said = hillfolio().arg("check").arg(dir).args(arguments).assert().code(code);
    let output = said.get_output();
    String::from_utf8([output.stdout.clone(), output.stderr.clone()].concat()).unwrap()
}

/// Of each question the first choice, but for the one name that is the other of two.
fn first_choices(asked: &[Correction]) -> Vec<(String, String)> {
    let answer = |one: &Correction| {
        let of_two = one.read == "Green wattle";
        let mut choices = one.asked.choices.iter().filter(|choice| choice.label != LEAVE_OUT);
        let choice = if of_two { choices.next_back() } else { choices.next() };
        choice.map(|choice| (one.mark.clone(), choice.label.clone()))
    };
    asked.iter().filter_map(answer).collect()
}

#[test]
fn a_persons_folder_is_answered_in_one_workbook_and_builds() {
    for ending in ["xlsx", "ods"] {
        let (dir, home) = (person::folder(), tempfile::tempdir().unwrap());
        let before = all(dir.path());
        let list = home.path().join("list.xlsx");
        run(dir.path(), &["--corrections", list.to_str().unwrap()], 1);
        // The workbook holds a mark for every question, and none is answered.
        let marks: Vec<String> = intake::answers(&list)
            .unwrap()
            .into_iter()
            .inspect(|one| assert!(one.answer.is_empty()))
            .map(|one| one.mark)
            .collect();
        let asked = asked(dir.path());
        assert_eq!(marks, asked.iter().map(|one| one.mark.clone()).collect::<Vec<_>>());
        // An empty list gives way to a new one, an answered one stays.
        run(dir.path(), &["--corrections", list.to_str().unwrap()], 1);
        let filled = home.path().join(format!("filled.{ending}"));
        answered(&filled, &first_choices(&asked));
        let said = run(dir.path(), &["--answers", filled.to_str().unwrap()], 0);
        assert!(said.contains(" written into project.toml"), "{said}");
        let settings = fs::read_to_string(dir.path().join("project.toml")).unwrap();
        assert!(
            settings.starts_with("# Our settings. The rest is in the books.\n"),
            "comments stay: {settings}"
        );
        person::is_as_worked_out(dir.path());
        // The same answers once more find nothing open, and change nothing.
        run(dir.path(), &["--answers", filled.to_str().unwrap()], 0);
        assert_eq!(fs::read_to_string(dir.path().join("project.toml")).unwrap(), settings);
        run(dir.path(), &["--take-back"], 0);
        assert_eq!(all(dir.path()), before, "as it was, to the byte");
        run(dir.path(), &["--take-back"], 1);
    }
}

#[test]
fn single_cells_are_corrected_beside_the_tables() {
    let dir = laid_out(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program/broken/base"));
    let plantings = "date,area,species,stems,note\n2025-08-01,Nort,Acacia melanoxylon,3OO,=1+1\n\
        2025-08-02,South,Blackwoood,200 or so,\n";
    fs::write(dir.path().join("plantings.csv"), plantings).unwrap();
    let before = all(dir.path());
    let home = tempfile::tempdir().unwrap();
    let list = home.path().join("answers.xlsx");
    let asked = asked(dir.path());
    let mark = |read: &str| {
        asked.iter().find(|one| one.read == read).unwrap_or_else(|| panic!("{read}: {asked:#?}")).mark.clone()
    };
    let given = |read: &str, answer: &str| (mark(read), answer.to_owned());
    // Nothing is written while one of them can't be an answer.
    let typed = [
        given("Nort", "North"),
        given("3OO", "300"),
        given("Blackwoood", "Acacia melanoxylon"),
        given("200 or so", "200"),
    ];
    answered(&list, &typed);
    let said = run(dir.path(), &["--answers", list.to_str().unwrap()], 0);
    assert!(said.contains("2 answers written into project.toml, 2 cells into corrections.csv"), "{said}");
    let corrections = fs::read_to_string(dir.path().join("corrections.csv")).unwrap();
    assert_eq!(
        corrections,
        "file,row,column,read,correct\nplantings.csv,2,stems,3OO,300\nplantings.csv,3,stems,200 or so,200\n"
    );
    let project = hillfolio::check(dir.path()).unwrap().project;
    let stems: Vec<u64> = project.plantings.iter().map(|planting| planting.stems.0).collect();
    assert_eq!(stems, [300, 200]);
    assert!(project.inputs.iter().any(|input| &*input.path == "corrections.csv"), "it goes into the pack");
    // Every other file is as it was.
    let others = |files: Vec<(String, Vec<u8>)>| -> Vec<(String, Vec<u8>)> {
        let ours = ["project.toml", "corrections.csv", ".hillfolio-answers.json"];
        files.into_iter().filter(|(name, _)| !ours.contains(&name.as_str())).collect()
    };
    assert_eq!(others(all(dir.path())), others(before.clone()));
    // What a cell can't hold is no answer, and neither is a name of nothing.
    run(dir.path(), &["--take-back"], 0);
    assert_eq!(all(dir.path()), before);
    for (read, answer, says) in [
        ("3OO", EMPTY, "row 2: `(empty)` can't be the answer: `stems` must be filled in every row"),
        ("3OO", "many", "row 2: `many` can't be the answer: `many` is not a count of stems"),
        ("Nort", "Westward", "row 2: `Westward` can't be the answer: no area is called `Westward`"),
        (
            "Blackwoood",
            "Acacia nulla",
            "row 2: `Acacia nulla` can't be the answer: no species is called `Acacia nulla`",
        ),
    ] {
        answered(&list, &[given(read, answer)]);
        let said = run(dir.path(), &["--answers", list.to_str().unwrap()], 2);
        assert!(said.contains(says) && said.contains("help: "), "{said}");
        assert_eq!(all(dir.path()), before);
    }
    // A row that is no record is left out, whatever else is wrong with it.
    answered(
        &list,
        &[given("3OO", LEAVE_OUT), given("200 or so", "200"), given("Blackwoood", "Acacia melanoxylon")],
    );
    let said = run(dir.path(), &["--answers", list.to_str().unwrap()], 0);
    assert!(
        said.contains("1 answer written into project.toml, 1 cell and 1 row into corrections.csv"),
        "{said}"
    );
    let project = hillfolio::check(dir.path()).unwrap().project;
    assert_eq!(project.plantings.iter().map(|planting| planting.stems.0).collect::<Vec<_>>(), [200]);
    let said = run(dir.path(), &[], 0);
    assert!(said.contains("doubt[row-taken-out]: the row is left out"), "{said}");
}

/// A day that is written as days are best written, and is wrong all the same: put right by its answer.
#[test]
fn a_day_is_corrected_and_a_row_that_stands_twice_left_out() {
    let dir = laid_out(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program/broken/base"));
    let tallies = fs::read_to_string(dir.path().join("tallies.csv")).unwrap();
    let (head, rows) = tallies.split_once('\n').unwrap();
    let rows = rows.replacen("2026-05-01,S1", "2026-05-02,S1", 1);
    let swapped = rows.replacen("2026-05-02,S1", "2026-02-05,S1", 1);
    assert_ne!(rows, swapped);
    let spending = fs::read_to_string(dir.path().join("spending.csv")).unwrap();
    let again = spending.lines().last().unwrap().to_owned();
    fs::write(
        dir.path().join("tallies.csv"),
        format!("{head}\n{}", swapped.replace("2026-02-05", "2026-11-05")),
    )
    .unwrap();
    fs::write(dir.path().join("spending.csv"), format!("{}\n{again}\n", spending.trim_end())).unwrap();
    let home = tempfile::tempdir().unwrap();
    let list = home.path().join("answers.xlsx");
    let asked = asked(dir.path());
    let of = |code: &str| {
        asked.iter().find(|one| one.wrong.contains(code)).unwrap_or_else(|| panic!("{code}: {asked:#?}"))
    };
    let (day, twice) =
        (of("day and month swapped? 2026-11-05 would be 2026-05-11").mark.clone(), of("the same as row 2"));
    let twice = (twice.mark.clone(), twice.asked.choices.last().unwrap().label.clone());
    assert_eq!(twice.1, LEAVE_OUT);
    answered(&list, &[(day, "2026-05-02".to_owned()), twice]);
    let said = run(dir.path(), &["--answers", list.to_str().unwrap()], 0);
    assert!(said.contains("1 cell and 1 row written into corrections.csv"), "{said}");
    let project = hillfolio::check(dir.path()).unwrap().project;
    assert_eq!(project.spending.len(), 1);
    assert_eq!(project.tallies[1].date.to_string(), "2026-05-02");
}

/// Of what the last word of a name tells, of a status left empty and of words of one's own the first choice is taken, once somebody has chosen it.
#[test]
fn what_is_only_offered_is_taken_when_it_is_chosen() {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program/broken");
    for (case, line) in [
        ("species-of-a-last-word", "\"Manna gum\" = \"Eucalyptus viminalis\""),
        ("status-empty", "blank = { status = \"alive\" }"),
    ] {
        let (dir, home) = (laid_out(&tests.join(case)), tempfile::tempdir().unwrap());
        let list = home.path().join("list.xlsx");
        answered(&list, &first_choices(&asked(dir.path())));
        run(dir.path(), &["--answers", list.to_str().unwrap()], 0);
        let settings = fs::read_to_string(dir.path().join("project.toml")).unwrap();
        assert!(settings.contains(line), "{case}: {settings}");
        hillfolio().arg("check").arg(dir.path()).assert().success();
    }
}

/// The workbook itself says whose questions it holds.
#[test]
fn a_list_that_was_made_for_another_folder_is_refused() {
    let (dir, other, home) = (person::folder(), person::folder(), tempfile::tempdir().unwrap());
    let settings = fs::read_to_string(other.path().join("project.toml")).unwrap();
    let name = settings.lines().find(|line| line.starts_with("name")).unwrap();
    fs::write(other.path().join("project.toml"), settings.replace(name, "name = \"The other hill\""))
        .unwrap();
    let (list, before) = (home.path().join("list.xlsx"), all(dir.path()));
    run(other.path(), &["--corrections", list.to_str().unwrap()], 1);
    let said = run(dir.path(), &["--answers", list.to_str().unwrap()], 2);
    assert!(
        said.contains("the list was made for The other hill") && said.contains("--corrections NEW.xlsx"),
        "{said}"
    );
    assert_eq!(all(dir.path()), before);
    run(other.path(), &["--answers", list.to_str().unwrap()], 0);
}

#[test]
fn what_is_no_answer_is_refused_whole() {
    let (dir, home) = (person::folder(), tempfile::tempdir().unwrap());
    let (before, list) = (all(dir.path()), home.path().join("answers.xlsx"));
    let asked = asked(dir.path());
    let mut answers = first_choices(&asked);
    answers[0].1 = "perhaps".to_owned();
    answered(&list, &answers);
    let said = run(dir.path(), &["--answers", list.to_str().unwrap()], 2);
    assert!(said.contains("row 2: `perhaps` is no answer to it; choose file = \"My places.kml\""), "{said}");
    assert_eq!(all(dir.path()), before);
    // Another workbook is no list, and a question that is closed is told.
    run(dir.path(), &["--answers", dir.path().join("Planting book.xlsx").to_str().unwrap()], 2);
    answered(&list, &[("none such".to_owned(), "yes".to_owned())]);
    let said = run(dir.path(), &["--answers", list.to_str().unwrap()], 0);
    assert!(said.contains("row 2: the question is not open any more; left out"), "{said}");
    assert_eq!(all(dir.path()), before);
}

/// Who is asked for a name chooses it from those that are known, and what is chosen is taken.
#[test]
fn names_are_chosen_from_those_that_are_known() {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program/broken");
    for (case, cell, is_known) in [
        ("species-of-several-words", "Frobnik", "Poa sieberiana"),
        ("one-cell-empty-in-a-group", "", "South"),
        ("no-budget-line", "", "Plants"),
    ] {
        let (dir, home) = (laid_out(&tests.join(case)), tempfile::tempdir().unwrap());
        let list = home.path().join("list.xlsx");
        let said = hillfolio()
            .arg("check")
            .arg(dir.path())
            .args(["--corrections", list.to_str().unwrap()])
            .output()
            .unwrap();
        assert!(list.is_file(), "{}", String::from_utf8_lossy(&said.stderr));
        let mut zip = zip::ZipArchive::new(fs::File::open(&list).unwrap()).unwrap();
        let mut part = |name: &str| std::io::read_to_string(zip.by_name(name).unwrap()).unwrap();
        let (strings, sheet) = (part("xl/sharedStrings.xml"), part("xl/worksheets/sheet1.xml"));
        assert!(strings.contains(&format!(">{is_known}<")), "{case}: {is_known} can't be chosen");
        assert!(sheet.contains("<dataValidation type=\"list\"") && sheet.contains("choices!$A$2"), "{case}");

        let asked = asked(dir.path());
        let question =
            asked.iter().find(|one| one.asked.names.is_some() && (cell.is_empty() || one.read == cell));
        let question = question.unwrap_or_else(|| panic!("{case}: {asked:#?}"));
        assert!(question.answered(is_known).is_some(), "{case}");
    }
}
