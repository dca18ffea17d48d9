//! What a check proposes to paste can be pasted: into the settings that are there, and also by somebody who puts all of it at the end.

use std::{fs, path::Path};

use hillfolio_core::intake::{self, Folder};

use crate::{
    broken::laid_out,
    commands::hillfolio,
    followed::followed,
    person::{self, PROPOSED},
};

/// What a check says, and the lines that it proposes; nothing where it proposes none.
pub(crate) fn proposed(said: &str) -> String {
    let lines = said.split_once(PROPOSED).and_then(|(_, rest)| rest.split_once('\n'));
    lines.map(|(_, lines)| lines.to_owned()).unwrap_or_default()
}

/// The lines with the # taken away before one of them.
pub(crate) fn chosen(lines: &str, choice: &str) -> String {
    let bare = |line: &str| line.replace('"', "");
    let is_chosen = |line: &&str| bare(line).starts_with(&bare(&format!("# {choice}")));
    assert_eq!(lines.lines().filter(is_chosen).count(), 1, "{choice} is not offered in\n{lines}");
    let line = |line: &str| match is_chosen(&line) {
        true => format!("{}\n", line.trim_start_matches("# ")),
        false => format!("{line}\n"),
    };
    lines.lines().map(line).collect()
}

fn check(dir: &Path) -> String {
    let said = hillfolio().arg("check").arg(dir).output().unwrap();
    String::from_utf8(said.stdout).unwrap()
}

fn is_toml(text: &str) -> bool {
    intake::with_answers(text, []).is_some()
}

#[test]
fn the_lines_of_every_folder_make_settings_that_can_be_read() {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program");
    let (mut tried, mut wrong) = (0, Vec::new());
    for case in fs::read_dir(tests.join("broken")).unwrap().map(|entry| entry.unwrap().path()) {
        let dir = laid_out(&case);
        let own = fs::read(dir.path().join("project.toml")).ok().and_then(|own| String::from_utf8(own).ok());
        let Some(own) = own.filter(|own| is_toml(own)) else { continue };
        let problems =
            hillfolio::check(dir.path()).map_or_else(|problems| problems, |intake| intake.problems);
        let folder = Folder::open(dir.path()).unwrap();
        let mut lines: Vec<String> = problems
            .iter()
            .flat_map(|problem| problem.message().answers)
            .map(|answer| answer.lines)
            .collect();
        // Each where its message puts it, and all of them as they stand beneath the messages.
        lines.iter_mut().for_each(|lines| {
            let placed = intake::in_their_place(&own, lines);
            *lines = placed.map_or_else(|| lines.clone(), |placed| commented(&placed));
        });
        lines.push(intake::proposed(&folder, &problems));
        for lines in lines.iter().filter(|lines| !lines.is_empty() && !lines.starts_with("nothing to do")) {
            tried += 1;
            let followed = followed(&own, lines);
            if !is_toml(&followed) || followed == own {
                wrong.push(format!("{}:\n{lines}", case.display()));
            }
        }
    }
    assert!(wrong.is_empty() && tried > 60, "{tried} tried:\n{}", wrong.join("\n"));
}

/// Where lines go, as a comment.
fn commented(placed: &str) -> String {
    let is_place = |line: &&str| line.contains(" of project.toml");
    let line = |line: &str| {
        if is_place(&line) {
            format!("# {line}\n").replace(" of project.toml", "")
        } else {
            format!("{line}\n")
        }
    };
    placed.lines().map(line).collect()
}

/// Whoever knows the program pastes; whoever doesn't pastes too, all of it and at the end. Then one more look says how it is joined.
#[test]
fn all_of_it_put_at_the_end_of_settings_that_have_such_sections_is_joined_at_the_next_look() {
    let dir = person::folder();
    let settings = dir.path().join("project.toml");
    let own = fs::read_to_string(&settings).unwrap();
    let begun = format!(
        "{own}\n[tables.tallies]\nfile = \"Count in August.ods\" # mine\ncolumns = {{ Plot = \"plot\" }}\n\n[names.species]\n\"Early wattle\" = \"Acacia genistifolia\"\n"
    );
    fs::write(&settings, &begun).unwrap();
    let said = check(dir.path());
    let lines = proposed(&said);
    let joined = "columns = { Plot = \"plot\", Gone = \"missing\" }";
    let whole = format!(
        "# in the place of lines 29 to 31:\n[tables.tallies]\nfile = \"Count in August.ods\" # mine\n{joined}\n"
    );
    assert!(lines.contains(&whole), "{lines}");
    assert!(said.contains(&format!("in the place of line 31 of project.toml:\n    {joined}")), "{said}");
    assert!(is_toml(&followed(&begun, &lines)), "{lines}");

    fs::write(&settings, format!("{begun}{lines}")).unwrap();
    let said = check(dir.path());
    assert!(
        said.contains("error[stands-twice]: `[tables.tallies]` stands twice: lines 29 to 31 and again lines"),
        "{said}"
    );
    let once = followed(&format!("{begun}{lines}"), &proposed(&said));
    assert!(is_toml(&once), "{once}");
    fs::write(&settings, chosen(&once, "\"Green wattle\" = \"Acacia irrorata\"")).unwrap();
    hillfolio().arg("check").arg(dir.path()).assert().success();
    person::is_as_worked_out(dir.path());
}
