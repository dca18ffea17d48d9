//! The list of corrections: one line for each thing to be put right, never over anything that somebody needs.

use std::{fs, path::Path};

use crate::{broken::laid_out, commands::hillfolio};

fn case(name: &str) -> tempfile::TempDir {
    laid_out(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program/broken").join(name))
}

fn lines(path: &Path) -> Vec<Vec<String>> {
    let text = fs::read_to_string(path).unwrap();
    let mut reader = csv::Reader::from_reader(text.trim_start_matches('\u{feff}').as_bytes());
    reader.records().map(|line| line.unwrap().iter().map(str::to_owned).collect()).collect()
}

#[test]
fn everything_wrong_is_listed_with_what_was_read_and_what_was_meant() {
    let (folder, home) = (case("everything-at-once"), tempfile::tempdir().unwrap());
    let list = home.path().join("corrections.csv");
    let check = || {
        let mut check = hillfolio();
        check.arg("check").arg(folder.path()).arg("--corrections").arg(&list);
        check
    };
    let said = check().assert().code(1);
    let said = String::from_utf8(said.get_output().stderr.clone()).unwrap();
    let found = lines(&list);
    assert!(said.starts_with(&format!("{} corrections listed in", found.len())), "{said}");
    let problems = hillfolio::check(folder.path()).unwrap_err();
    let asked =
        problems.iter().filter(|problem| problem.grade() != hillfolio_core::problem::Grade::Remark).count();
    assert!(found.len() > 5 && found.len() <= asked, "{} of {asked}", found.len());
    for problem in problems.iter().filter(|problem| problem.grade() == hillfolio_core::problem::Grade::Error)
    {
        let sentence = problem.kind.to_string();
        assert!(found.iter().any(|line| line[5] == sentence), "{sentence}");
    }
    assert!(found.iter().all(|line| line.len() == 9 && line[8].is_empty()));
    assert!(found.iter().any(|line| !line[4].is_empty() && !line[6].is_empty()), "{found:?}");

    // Nobody has answered: the list is written anew. Somebody has: it stays.
    check().assert().code(1);
    let text = fs::read_to_string(&list).unwrap();
    let answered = format!("{}as in the book\n", text.trim_end());
    fs::write(&list, &answered).unwrap();
    let refused = check().assert().code(3);
    let said = String::from_utf8(refused.get_output().stderr.clone()).unwrap();
    assert!(said.contains("nobody has answered"), "{said}");
    assert_eq!(fs::read_to_string(&list).unwrap(), answered);
}

#[test]
fn no_input_gives_way_to_a_list() {
    let folder = case("base");
    for file in ["plantings.csv", "project.toml"] {
        let path = folder.path().join(file);
        let before = fs::read(&path).unwrap();
        let list = if file.ends_with(".csv") { path.clone() } else { folder.path().join("project.pdf") };
        if list != path {
            fs::copy(&path, &list).unwrap();
        }
        hillfolio().arg("check").arg(folder.path()).arg("--corrections").arg(&list).assert().code(3);
        assert_eq!(fs::read(&list).unwrap(), before);
    }
    hillfolio().arg("check").arg(folder.path()).args(["--corrections", "list.doc"]).assert().code(2);
}

#[test]
fn the_list_is_printed_too_and_twice_over_the_same() {
    let home = tempfile::tempdir().unwrap();
    for name in ["everything-at-once", "malformed-toml", "base"] {
        let (folder, list) = (case(name), home.path().join(format!("{name}.pdf")));
        let mut written = Vec::new();
        for _ in 0..2 {
            let check =
                hillfolio().arg("check").arg(folder.path()).arg("--corrections").arg(&list).output().unwrap();
            assert!(
                check.status.code().is_some_and(|code| code < 2),
                "{}",
                String::from_utf8_lossy(&check.stderr)
            );
            written.push(fs::read(&list).unwrap());
        }
        assert!(written[0].starts_with(b"%PDF") && written[0] == written[1], "{name}");
    }
}
